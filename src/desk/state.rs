//! What the desk remembers while it is open: who was let in, the folder, what is known of it, the
//! search that runs, and the last plan. All that should outlive it stands in the folder's files.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use anyhow::{Context, bail};
use spanyard::folder::{Draft, Refusal, Stamp};
use spanyard::read::FOLDER_FILE;
use spanyard::save::{Disk, Lock};

use super::job::{Job, held};
use super::known::Known;
use super::made::Made;
use super::told::Told;

/// A disk that several requests write to.
pub type SharedDisk = Arc<dyn Disk + Send + Sync>;

/// The desk.
pub struct Desk {
    port: u16,
    /// What everything is written through.
    disk: SharedDisk,
    /// Lets one browser in, once.
    token: Mutex<Option<String>>,
    /// What a browser that was let in shows: `deskPORT=...`.
    key: String,
    /// Where folders are made, and the one that is open.
    beside: PathBuf,
    /// The name that a new folder is to have, if one was asked for.
    pub wanted: Option<String>,
    folder: Mutex<Option<Folder>>,
    known: Mutex<Option<Arc<Known>>>,
    job: Mutex<Option<Arc<Job>>>,
    made: Mutex<Option<Arc<Made>>>,
    told: Mutex<BTreeMap<&'static str, Arc<Told>>>,
    trials: Mutex<Vec<Arc<Trial>>>,
    incoming: Mutex<Incoming>,
}

/// Lists on their way into the folder, by number.
#[derive(Default)]
struct Incoming {
    last: u64,
    drafts: BTreeMap<u64, Draft>,
}

/// Most lists that wait to be added.
const WAITING: usize = 20;

/// A plan that was made for something else than what the files say.
pub struct Trial {
    /// What is different, in words.
    pub name: String,
    /// The plan, as the terminal prints it.
    pub json: String,
    /// What is different in the crossings file: crossing, column, value.
    pub edits: Vec<(String, String, String)>,
    /// Whether something is different that stands in no file.
    pub beside_files: bool,
    /// The state of the files that it is about.
    pub stamp: Stamp,
}

/// Most trials that are remembered.
const TRIALS: usize = 8;

/// An open folder, which no second desk opens.
struct Folder {
    root: PathBuf,
    _lock: Lock,
}

impl Desk {
    /// A desk on a folder, or on none yet.
    pub fn new(asked: Option<&Path>, port: u16, disk: SharedDisk) -> anyhow::Result<Self> {
        let here = asked.unwrap_or(Path::new(""));
        let is_purchase = here.join(FOLDER_FILE).is_file();
        let empty = || here.read_dir().is_ok_and(|mut entries| entries.next().is_none());
        if asked.is_some() && !is_purchase && here.exists() && !empty() {
            bail!("{} is no purchase folder: it has no {FOLDER_FILE}", here.display());
        }
        let name = asked.and_then(Path::file_name).map(|name| name.to_string_lossy().into_owned());
        let parent = asked.and_then(Path::parent).unwrap_or(Path::new(""));
        let desk = Self {
            port,
            disk,
            token: Mutex::new(Some(secret()?)),
            key: format!("desk{port}={}", secret()?),
            beside: parent.to_owned(),
            wanted: name.filter(|_| !is_purchase),
            folder: Mutex::new(None),
            known: Mutex::new(None),
            job: Mutex::new(None),
            made: Mutex::new(None),
            told: Mutex::default(),
            trials: Mutex::default(),
            incoming: Mutex::default(),
        };
        if is_purchase {
            desk.open(here)?;
        }
        Ok(desk)
    }

    /// Opens a folder.
    pub fn open(&self, root: &Path) -> anyhow::Result<()> {
        let lock = Lock::take(&root.join("desk"), Duration::ZERO)
            .context("a desk is open on this folder already")?;
        *held(&self.folder) = Some(Folder { root: root.to_owned(), _lock: lock });
        Ok(())
    }

    /// What everything is written through.
    pub fn disk(&self) -> &dyn Disk {
        &*self.disk
    }

    /// The open folder.
    pub fn root(&self) -> Option<PathBuf> {
        held(&self.folder).as_ref().map(|folder| folder.root.clone())
    }

    /// The folder that a new one of this name is.
    pub fn beside(&self, name: &str) -> PathBuf {
        self.beside.join(name)
    }

    /// The first address.
    pub fn address(&self) -> String {
        let token = held(&self.token).clone().unwrap_or_default();
        format!("http://127.0.0.1:{}/enter?token={token}", self.port)
    }

    /// Whether a host is this desk.
    pub fn is_named(&self, host: &str) -> bool {
        ["127.0.0.1", "localhost"].iter().any(|name| *host == format!("{name}:{}", self.port))
    }

    /// The key for a browser with the token, which is used up.
    pub fn let_in(&self, token: &str) -> Option<String> {
        let mut held = held(&self.token);
        let right = held.as_deref().is_some_and(|known| same(known, token));
        right.then(|| {
            *held = None;
            self.key.clone()
        })
    }

    /// Whether a cookie is the key.
    pub fn is_key(&self, cookie: &str) -> bool {
        same(&self.key, cookie)
    }

    /// The folder as it is now.
    pub fn known(&self) -> Result<Arc<Known>, Refusal> {
        let root = self.root().unwrap_or_default();
        // Held while it reads, so that of several requests one reads.
        let mut held = held(&self.known);
        let now = Known::now(&root, held.clone())?;
        *held = Some(Arc::clone(&now));
        Ok(now)
    }

    /// The last job, running or done.
    pub fn job(&self) -> Option<Arc<Job>> {
        held(&self.job).clone()
    }

    /// Begins work that ends with a page to look at, in the place of what runs, which ends.
    pub fn begin(
        self: &Arc<Self>,
        title: &str,
        page: &str,
        work: impl FnOnce(&Self, &Job) -> Result<(), String> + Send + 'static,
    ) {
        let job = Job::new(title, page);
        if let Some(before) = held(&self.job).replace(Arc::clone(&job)) {
            before.stop();
        }
        let desk = Arc::clone(self);
        thread::spawn(move || job.run(|| work(&desk, &job)));
    }

    /// The last plan.
    pub fn made(&self) -> Option<Arc<Made>> {
        held(&self.made).clone()
    }

    /// A new plan, unless the job that made it is no longer wanted.
    pub fn keep(&self, made: Made) {
        *held(&self.made) = Some(Arc::new(made));
    }

    /// A plan that was made already.
    #[cfg(test)]
    pub fn keep_shared(&self, made: Arc<Made>) {
        *held(&self.made) = Some(made);
    }

    /// What was found when this was last asked.
    pub fn told(&self, question: &str) -> Option<Arc<Told>> {
        held(&self.told).get(question).cloned()
    }

    /// Keeps what was found.
    pub fn tell(&self, question: &'static str, told: Told) {
        held(&self.told).insert(question, Arc::new(told));
    }

    /// The trials, newest first.
    pub fn trials(&self) -> Vec<Arc<Trial>> {
        held(&self.trials).clone()
    }

    /// One trial more; the oldest goes where there are too many.
    pub fn try_out(&self, trial: Trial) {
        let mut trials = held(&self.trials);
        trials.insert(0, Arc::new(trial));
        trials.truncate(TRIALS);
    }

    /// Takes a list in that is to be looked at before it is added; gives its number.
    pub fn take_in(&self, draft: Draft) -> u64 {
        let mut incoming = held(&self.incoming);
        incoming.last += 1;
        let number = incoming.last;
        incoming.drafts.insert(number, draft);
        while incoming.drafts.len() > WAITING {
            incoming.drafts.pop_first();
        }
        number
    }

    /// A list that waits to be added.
    pub fn incoming(&self, number: u64) -> Option<Draft> {
        held(&self.incoming).drafts.get(&number).cloned()
    }

    /// The same with an answer more.
    pub fn keep_incoming(&self, number: u64, draft: Draft) {
        held(&self.incoming).drafts.insert(number, draft);
    }

    /// It waits no more.
    pub fn let_go(&self, number: u64) {
        held(&self.incoming).drafts.remove(&number);
    }

    /// All that wait.
    pub fn waiting(&self) -> Vec<(u64, Draft)> {
        let incoming = held(&self.incoming);
        incoming.drafts.iter().map(|(number, draft)| (*number, draft.clone())).collect()
    }

    /// A trial.
    pub fn trial(&self, number: usize) -> Option<Arc<Trial>> {
        held(&self.trials).get(number).cloned()
    }

    /// Takes a trial out.
    pub fn take_trial(&self, number: usize) -> Option<Arc<Trial>> {
        let mut trials = held(&self.trials);
        (number < trials.len()).then(|| trials.remove(number))
    }

    /// Ends what runs.
    pub fn stop(&self) {
        if let Some(job) = self.job() {
            job.stop();
        }
    }
}

/// 256 bits that nobody can guess.
fn secret() -> anyhow::Result<String> {
    let mut bytes = [0_u8; 32];
    getrandom::fill(&mut bytes).context("the system gives no random numbers")?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Whether two secrets are the same, in a time that does not tell how far they are.
fn same(a: &str, b: &str) -> bool {
    a.len() == b.len() && a.bytes().zip(b.bytes()).fold(0, |all, (a, b)| all | (a ^ b)) == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn secrets_are_compared_whole() {
        for (a, b, equal) in [("ab", "ab", true), ("ab", "ac", false), ("ab", "a", false)] {
            assert_eq!(same(a, b), equal);
        }
        assert_ne!(secret().unwrap(), secret().unwrap());
    }
}
