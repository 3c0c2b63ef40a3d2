//! The least rating factor between the bearings, also of a girder that tapers.

use super::{BETWEEN_STATIONS, Form, OnSpan, lesser};
use crate::quantity::{CubicInches, Feet, KipFeet, Ratio};
use crate::rate::effects::{self, Live, STATIONS, VehicleEffects, station};
use crate::rate::factors::Factor;
use crate::rate::pieces::{Piece, pieces};

impl OnSpan<'_> {
    /// The least factor between the bearings. A girder that tapers is rated at the stations and, as
    /// long as its dead load leaves something for live load there, at the very least of all sections.
    pub(in crate::rate) fn least_in_span(
        &self,
        on: &VehicleEffects,
        live: &Live,
        form: &Form,
    ) -> Factor<KipFeet> {
        let mut least = self.at_peak(live.moment.section, live.moment.total, form);
        if !self.girder.tapers() {
            return least;
        }
        let moduli = self.stations.get_or_init(|| self.station_moduli());
        for (index, (moduli, &live)) in moduli.iter().zip(&live.stations).enumerate() {
            least = lesser(least, self.at_station(index, moduli[0].min(moduli[1]), live, form));
        }
        if least.factor.0 <= 0.0 {
            return least;
        }
        let with_impact = 1.0 + live.impact.0;
        let span = self.loads.span();
        let pieces = pieces(&on.vehicle, span, with_impact);
        for flange in [0, 1] {
            let enough = self.enough_to_look(flange, moduli, live, form, least.factor);
            for piece in &pieces {
                let Some(nearest) = enough.iter().position(|&(at, enough)| piece.at(at) >= enough)
                else {
                    continue;
                };
                let section = self.least_under(piece, flange, nearest, form);
                // What acts there is the greatest of all pieces.
                let moment = effects::moment_at(&on.vehicle, span, section, with_impact);
                let modulus = self.girder.modulus_at(section - span / 2.0);
                let found = moment.map(|live| self.at_section(section, modulus, live, form));
                least = found.map_or(least, |found| lesser(least, found));
            }
        }
        least
    }

    /// At each station, the moment from which on the factor near it may be less than the least found so
    /// far: between two stations it changes by a small share of strength over load.
    fn enough_to_look(
        &self,
        flange: usize,
        moduli: &[[CubicInches; 2]; STATIONS],
        live: &Live,
        form: &Form,
        least: Ratio,
    ) -> [(Feet, KipFeet); STATIONS] {
        let mut enough = [(Feet(0.0), KipFeet(0.0)); STATIONS];
        for (index, enough) in enough.iter_mut().enumerate() {
            let live = live.stations[index];
            let found = self.at_station(index, moduli[index][flange], live, form);
            let strength = found.capacity / (live * (form.live_factor * form.share.total.0));
            let near = least.0 + BETWEEN_STATIONS * strength;
            *enough = (found.section, live * (found.factor.0 / near));
        }
        enough
    }

    /// The section near a station at which the factor under one piece of the envelope, limited by one
    /// flange, is least, narrowed down by the golden section.
    fn least_under(&self, piece: &Piece, flange: usize, near: usize, form: &Form) -> Feet {
        let span = self.loads.span();
        let value = |section: Feet| {
            let modulus = self.girder.moduli_at(section - span / 2.0)[flange];
            match piece.at(section) {
                live if live.0 > 0.0 => self.at_section(section, modulus, live, form).factor.0,
                _ => f64::INFINITY,
            }
        };
        // From the station before on for as long as it falls from station to station.
        let at = |index: usize| station(span, index);
        let mut nearest = near;
        while nearest + 1 < STATIONS && value(at(nearest + 1)) < value(at(nearest)) {
            nearest += 1;
        }
        let mut low = if nearest == 0 { Feet(0.0) } else { at(nearest - 1) };
        let mut high = at((nearest + 1).min(STATIONS - 1));
        let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
        let (mut left, mut right) = (high - (high - low) * golden, low + (high - low) * golden);
        let (mut at_left, mut at_right) = (value(left), value(right));
        for _ in 0..40 {
            if at_left < at_right {
                (high, right, at_right) = (right, left, at_left);
                left = high - (high - low) * golden;
                at_left = value(left);
            } else {
                (low, left, at_left) = (left, right, at_right);
                right = low + (high - low) * golden;
                at_right = value(right);
            }
        }
        if at_left < at_right { left } else { right }
    }
}
