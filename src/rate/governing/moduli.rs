//! The section moduli of a girder that tapers, and whether they reach what is asked.

use super::{Asked, TO_SPARE};
use crate::quantity::{CubicInches, Feet};
use crate::rate::effects::STATIONS;
use crate::rate::on_span::OnSpan;

/// The section moduli of a girder that tapers, each worked out when it is first asked for.
pub(super) struct Moduli<'s, 'a> {
    on_span: &'s OnSpan<'a>,
    known: [Option<CubicInches>; STATIONS],
    within: Option<CubicInches>,
    /// Whether the moduli rise with the web's depth, and whether that is greatest at mid-span.
    steady: bool,
    deepest_in_middle: bool,
}

impl<'s, 'a> Moduli<'s, 'a> {
    pub(super) fn new(on_span: &'s OnSpan<'a>) -> Self {
        Self {
            on_span,
            known: [None; STATIONS],
            within: None,
            steady: on_span.girder.moduli_rise_with_depth(),
            deepest_in_middle: on_span.girder.deepest_in_middle(),
        }
    }

    pub(super) fn at(&mut self, index: usize) -> CubicInches {
        *self.known[index].get_or_insert_with(|| self.on_span.station_modulus(index))
    }

    pub(super) fn station_reaches(&mut self, index: usize, asked: &Asked, least: f64) -> bool {
        let (modulus, live) = (self.at(index), asked.most.stations[index]);
        self.on_span.at_station(index, modulus, live, &asked.form).factor.0 >= least
    }

    /// Whether all stations from `first` to `last` reach `least`: by the weakest section under the greatest
    /// moments of all of them, which are dead load's at the last, or else half by half.
    pub(super) fn block_reaches(
        &mut self,
        first: usize,
        last: usize,
        asked: &Asked,
        least: f64,
    ) -> bool {
        if first == last {
            return self.station_reaches(first, asked, least);
        }
        if self.steady {
            let weakest = self.at(if self.deepest_in_middle { first } else { last });
            let most = asked.most.up_to[last];
            let bound = self.on_span.at_station(last, weakest, most, &asked.form);
            if bound.factor.0 >= least + TO_SPARE {
                return true;
            }
        }
        let middle = usize::midpoint(first, last);
        self.block_reaches(middle + 1, last, asked, least)
            && self.block_reaches(first, middle, asked, least)
    }

    /// The least section modulus within so far from mid-span, where it is at an end of that.
    pub(super) fn weakest_within(&mut self, distance: Feet) -> Option<CubicInches> {
        if !self.steady {
            return None;
        }
        if !self.deepest_in_middle {
            return Some(self.on_span.middle);
        }
        Some(*self.within.get_or_insert_with(|| self.on_span.girder.modulus_at(distance)))
    }
}
