//! What is known of the folder between requests: read once, surveyed once, till a file changes.

use std::path::Path;
use std::sync::{Arc, OnceLock};

use spanyard::check::Barred;
use spanyard::folder::{Files, Refusal, Stamp};
use spanyard::model::inputs::Inputs;
use spanyard::read::Reading;
use spanyard::report::facts::matching::Matching;
use spanyard::survey::Survey;

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
        let reading = files.read();
        Self { files, stamp, reading, survey: OnceLock::new(), fits: OnceLock::new() }
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
