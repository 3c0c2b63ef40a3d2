//! What is known of the folder between requests: read once, surveyed once, till a file changes.

use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};
use std::thread;
use std::time::{Duration, Instant};

use spanyard::assemble::{PlanOptions, choose_offers};
use spanyard::check::Barred;
use spanyard::choose::Effort;
use spanyard::folder::{Files, Refusal, Stamp};
use spanyard::model::inputs::Inputs;
use spanyard::read::Reading;
use spanyard::report::facts::matching::Matching;
use spanyard::survey::Survey;

/// So long a page waits for what takes long at first, before it shows what it has.
const MOMENT: Duration = Duration::from_millis(150);

/// So long it is looked into which of several offers of one car counts, where there are any.
const OFFERS: Duration = Duration::from_secs(3);

/// The folder as it was read.
pub struct Known {
    /// Its files.
    pub files: Files,
    /// Which state of them was read.
    pub stamp: Stamp,
    /// What they say, or what is wrong with them.
    pub reading: Result<Reading, Refusal>,
    survey: OnceLock<Survey>,
    fits: OnceLock<Vec<(usize, Barred)>>,
    asked: AtomicBool,
}

impl Known {
    /// The folder as it is now; `before` if that is still it.
    pub fn now(root: &Path, before: Option<Arc<Self>>) -> Result<Arc<Self>, Refusal> {
        let found = Files::of_folder(root).map_err(|problem| Refusal::from(*problem))?;
        let files = found.unwrap_or_else(|| Files { root: root.to_owned(), ..Files::default() });
        // The stamp is taken first: what changes while it is read is read again the next time.
        let stamp = files.stamp();
        if let Some(before) = before.filter(|before| before.stamp == stamp) {
            return Ok(before);
        }
        Ok(Arc::new(Self::of(files, stamp)))
    }

    /// These files, read.
    pub fn of(files: Files, stamp: Stamp) -> Self {
        let mut reading = files.read();
        if let Ok(reading) = &mut reading {
            let effort = Effort { time_limit: Some(OFFERS), ..Effort::default() };
            choose_offers(&mut reading.inputs, &PlanOptions { budget: None, effort });
        }
        Self {
            files,
            stamp,
            reading,
            survey: OnceLock::new(),
            fits: OnceLock::new(),
            asked: AtomicBool::new(false),
        }
    }

    /// The inputs, if the files can be used.
    pub fn inputs(&self) -> Option<&Inputs> {
        self.reading.as_ref().ok().map(|reading| &reading.inputs)
    }

    /// Every car against every span; none where the files cannot be used.
    pub fn survey(&self) -> Option<&Survey> {
        let inputs = self.inputs()?;
        Some(self.survey.get_or_init(|| Survey::new(inputs)))
    }

    /// The same as [`Known::fits`], if it is known, or within moments; else somebody is at it from now on.
    pub fn fits_soon(self: &Arc<Self>) -> Option<&[(usize, Barred)]> {
        if self.fits.get().is_none() {
            if !self.asked.swap(true, Ordering::Relaxed) {
                let known = Arc::clone(self);
                thread::spawn(move || known.fits().map(<[_]>::len));
            }
            let begun = Instant::now();
            while self.fits.get().is_none() && begun.elapsed() < MOMENT {
                thread::sleep(Duration::from_millis(10));
            }
        }
        self.fits.get().map(Vec::as_slice)
    }

    /// Of each car how many crossings it fits, and what bars it at all of them; none where the files
    /// cannot be used.
    pub fn fits(&self) -> Option<&[(usize, Barred)]> {
        let (inputs, survey) = (self.inputs()?, self.survey()?);
        let of_all = || {
            let matching = Matching::new(inputs, survey);
            let of = |car| {
                let fits: Vec<_> = matching.car(car).collect();
                let passing = fits.iter().filter(|fit| fit.passes()).count();
                let barred = fits.iter().map(|fit| fit.barred()).reduce(Barred::and);
                (passing, barred.unwrap_or_default())
            };
            inputs.car_indices().map(of).collect()
        };
        Some(self.fits.get_or_init(of_all))
    }
}
