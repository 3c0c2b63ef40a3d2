//! A purchase folder on disk: which files it has, opening and reading them, making one, and writing a
//! decision into it. The terminal and the desk are two doors to one house; both come through here.
//!
//! Paths are relative to the folder's root, and files are named by them: in the terminal the root is
//! the folder in which the program was started, at the desk the folder that it was opened on.

mod add;
mod asking;
mod change;
mod decide;
mod earlier;
mod files;
mod logo;
mod make;
mod open;
mod papers;
mod since;
mod stamp;
mod workbook;

pub use add::{Add, Added, Draft, NotAdded, draft, keep, look};
pub use asking::{Asking, asking, keep_answers};
pub use change::{NotChanged, mark, remove, replace};
pub use decide::{Decided, NotDecided, decide, take_back, try_out, undo};
pub use earlier::{EARLIER, State, earlier, keep_earlier};
pub use files::{Files, Refusal, stem, within};
pub use make::{DEMO, NotMade, blank, make};
pub use open::{Unread, open, open_bytes, open_in, open_text};
pub use papers::{Written, files_in};
pub use stamp::Stamp;
pub use workbook::{NotKept, with_rows};
