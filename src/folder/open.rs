//! The bytes of files, as many as a reader takes.

use std::fs::File;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use crate::check::Code;
use crate::read::{Problem, SourceText};

/// Greatest size of a file that is opened; the reader's own limits are lower.
const MOST_BYTES: u64 = 64 << 20;

/// Why a text cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum Unread {
    /// It has more bytes than any such file.
    #[error("{} has more than {} MB", .0.display(), MOST_BYTES >> 20)]
    TooLarge(PathBuf),
    /// The system does not give it.
    #[error("{} {}", .0.display(), reason(.1))]
    Unreadable(PathBuf, io::Error),
    /// It is something else than text.
    #[error("{} is not text in UTF-8", .0.display())]
    NotText(PathBuf),
}

/// The bytes of a file.
///
/// # Errors
/// Why it cannot be read.
pub fn open(path: &Path) -> Result<SourceText, Box<Problem>> {
    open_in(Path::new(""), path)
}

/// The bytes of a file of a folder, under its name in there.
///
/// # Errors
/// Why it cannot be read.
pub fn open_in(root: &Path, path: &Path) -> Result<SourceText, Box<Problem>> {
    let name = path.display().to_string();
    let problem = |code: Code, wrong: String, instead: &str| {
        Box::new(Problem::of_file(code, name.as_str().into(), wrong, instead))
    };
    match bounded(&root.join(path)) {
        Ok(Some(bytes)) => Ok(SourceText::new(&name, bytes)),
        Ok(None) => {
            let wrong = format!("has more than {} MB", MOST_BYTES >> 20);
            let instead = "split the list, or delete what is not part of it";
            Err(problem(Code::FileTooLarge, wrong, instead))
        }
        Err(error) => Err(problem(Code::FileUnreadable, reason(&error), "check the path")),
    }
}

/// The bytes of a file that no reader reads.
///
/// # Errors
/// Why it cannot be read.
pub fn open_bytes(path: &Path) -> Result<Vec<u8>, Unread> {
    match bounded(path) {
        Ok(Some(bytes)) => Ok(bytes),
        Ok(None) => Err(Unread::TooLarge(path.to_owned())),
        Err(error) => Err(Unread::Unreadable(path.to_owned(), error)),
    }
}

/// The text of a file that no reader of lists reads.
///
/// # Errors
/// Why it cannot be read.
pub fn open_text(path: &Path) -> Result<String, Unread> {
    String::from_utf8(open_bytes(path)?).map_err(|_| Unread::NotText(path.to_owned()))
}

/// The bytes of a file; nothing where it has too many, or, as a device or a pipe, no end.
fn bounded(path: &Path) -> io::Result<Option<Vec<u8>>> {
    let mut file = File::open(path)?;
    // What the system states is the size of a file; of a pipe it is none.
    if file.metadata().is_ok_and(|about| about.is_file() && about.len() > MOST_BYTES) {
        return Ok(None);
    }
    let mut bytes = Vec::new();
    file.by_ref().take(MOST_BYTES + 1).read_to_end(&mut bytes)?;
    Ok((bytes.len() as u64 <= MOST_BYTES).then_some(bytes))
}

/// Why a file cannot be read, in the same words on every system where the cause is a common one.
fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "does not exist".to_owned(),
        io::ErrorKind::PermissionDenied => "may not be read by you".to_owned(),
        io::ErrorKind::IsADirectory => "is a folder".to_owned(),
        _ => format!("cannot be read: {error}"),
    }
}
