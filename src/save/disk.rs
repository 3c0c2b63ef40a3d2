//! The steps of writing, one by one, so that tests can let each of them fail.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::path::Path;

/// What saving asks of the system.
pub trait Disk {
    /// Makes a file, or empties the one that stands there.
    ///
    /// # Errors
    /// As the system says; so for all of these.
    fn create(&self, path: &Path) -> io::Result<File>;
    /// Makes a file that must not stand there yet.
    ///
    /// # Errors
    /// As the system says.
    fn create_new(&self, path: &Path) -> io::Result<File>;
    /// Opens a device or a pipe to write to it.
    ///
    /// # Errors
    /// As the system says.
    fn open(&self, path: &Path) -> io::Result<File>;
    /// Writes all bytes.
    ///
    /// # Errors
    /// As the system says; some of the bytes may then be written.
    fn write(&self, file: &mut File, bytes: &[u8]) -> io::Result<()>;
    /// Brings a file's bytes from memory to the disk.
    ///
    /// # Errors
    /// As the system says.
    fn sync(&self, file: &File) -> io::Result<()>;
    /// Gives a file another name, in place of what has that name.
    ///
    /// # Errors
    /// As the system says.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Brings the names in a folder to the disk.
    ///
    /// # Errors
    /// As the system says.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;
    /// Removes a file.
    ///
    /// # Errors
    /// As the system says.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Makes a folder and those around it, where they do not exist.
    ///
    /// # Errors
    /// As the system says.
    fn make_folders(&self, path: &Path) -> io::Result<()>;
}

/// The disk itself.
#[derive(Clone, Copy, Debug, Default)]
pub struct RealDisk;

impl Disk for RealDisk {
    fn create(&self, path: &Path) -> io::Result<File> {
        File::create(path)
    }

    fn create_new(&self, path: &Path) -> io::Result<File> {
        File::create_new(path)
    }

    fn open(&self, path: &Path) -> io::Result<File> {
        OpenOptions::new().write(true).open(path)
    }

    fn write(&self, file: &mut File, bytes: &[u8]) -> io::Result<()> {
        file.write_all(bytes)
    }

    fn sync(&self, file: &File) -> io::Result<()> {
        file.sync_all()
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        // Windows does not open folders as files, and keeps renames in order by itself.
        if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn make_folders(&self, path: &Path) -> io::Result<()> {
        fs::create_dir_all(path)
    }
}
