//! A disk on which one step fails, and what is left of a folder then.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use spanyard::save::{Disk, RealDisk};

/// A disk on which one step fails: a write after half of its bytes, as on a full disk.
pub struct Faulty {
    fails_at: usize,
    /// From there on everything fails, as with a disk that stays full.
    for_good: bool,
    steps: AtomicUsize,
}

impl Faulty {
    /// One whose step of this number fails, from 0.
    pub fn at(fails_at: usize, for_good: bool) -> Self {
        Self { fails_at, for_good, steps: AtomicUsize::new(0) }
    }

    /// The steps so far.
    pub fn steps(&self) -> usize {
        self.steps.load(Ordering::Relaxed)
    }

    fn fails(&self) -> bool {
        let step = self.steps.fetch_add(1, Ordering::Relaxed);
        step == self.fails_at || (self.for_good && step > self.fails_at)
    }

    fn step<T>(&self, real: impl FnOnce() -> io::Result<T>) -> io::Result<T> {
        if self.fails() { Err(io::ErrorKind::StorageFull.into()) } else { real() }
    }
}

impl Disk for Faulty {
    fn create(&self, path: &Path) -> io::Result<File> {
        self.step(|| RealDisk.create(path))
    }
    fn create_new(&self, path: &Path) -> io::Result<File> {
        self.step(|| RealDisk.create_new(path))
    }
    fn open(&self, path: &Path) -> io::Result<File> {
        self.step(|| RealDisk.open(path))
    }
    fn write(&self, file: &mut File, bytes: &[u8]) -> io::Result<()> {
        if self.fails() {
            file.write_all(&bytes[..bytes.len() / 2])?;
            return Err(io::ErrorKind::StorageFull.into());
        }
        RealDisk.write(file, bytes)
    }
    fn sync(&self, _: &File) -> io::Result<()> {
        // What the disk has is not looked at here, and it is slow.
        self.step(|| Ok(()))
    }
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.step(|| RealDisk.rename(from, to))
    }
    fn sync_folder(&self, _: &Path) -> io::Result<()> {
        self.step(|| Ok(()))
    }
    fn remove(&self, path: &Path) -> io::Result<()> {
        // A full disk can still forget a file.
        RealDisk.remove(path)
    }
    fn make_folders(&self, path: &Path) -> io::Result<()> {
        self.step(|| RealDisk.make_folders(path))
    }
}

/// Every file below a folder, by its path, but locks, which are empty and stay.
pub fn contents(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_none_or(|end| end != "lock") {
                let name = path.strip_prefix(folder).unwrap().to_owned();
                found.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    found
}
