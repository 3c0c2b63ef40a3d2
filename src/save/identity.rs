//! Whether two paths are one file: by what they lead to, and not by how they are written.

use std::fs;
use std::path::Path;

use super::folder_of;

/// Whether two paths lead to one file, also through links of both kinds. Files that do not exist yet
/// are one where they would have the same name in the same folder.
#[must_use]
pub fn same_file(a: &Path, b: &Path) -> bool {
    match (fs::metadata(a).is_ok(), fs::metadata(b).is_ok()) {
        (true, true) => identical(a, b),
        (false, false) => same_name(a, b) && identical(folder_of(a), folder_of(b)),
        _ => false,
    }
}

/// Windows and macOS do not tell large letters from small ones in a name.
fn same_name(a: &Path, b: &Path) -> bool {
    let (Some(a), Some(b)) = (a.file_name(), b.file_name()) else { return false };
    a == b
        || (cfg!(not(target_os = "linux"))
            && a.to_string_lossy().to_lowercase() == b.to_string_lossy().to_lowercase())
}

#[cfg(unix)]
fn identical(a: &Path, b: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    let key = |path: &Path| fs::metadata(path).map(|about| (about.dev(), about.ino())).ok();
    key(a).is_some_and(|a| key(b) == Some(a))
}

#[cfg(not(unix))]
fn identical(a: &Path, b: &Path) -> bool {
    same_file::is_same_file(a, b).unwrap_or(false)
}
