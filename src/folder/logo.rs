//! The agency's mark, from the file beside its rules that they name.

use std::path::Path;

use super::Files;
use super::open::open_bytes;
use crate::model::rules::Agency;
use crate::report::logo;

impl Files {
    /// The mark that the rules name, as the address that a page carries it in; none: they name none.
    ///
    /// # Errors
    /// Why it cannot be shown, with the name of its file.
    pub fn logo(&self, agency: &Agency) -> Result<Option<String>, String> {
        let Some(name) = &agency.logo else { return Ok(None) };
        let beside = self.rules.as_deref().and_then(Path::parent).unwrap_or(Path::new(""));
        let path = self.at(&beside.join(name));
        let bytes =
            open_bytes(&path).map_err(|wrong| format!("agency.logo of the rules: {wrong}"))?;
        let address = logo::data_address(&bytes);
        let told = |wrong| format!("agency.logo of the rules: {} {wrong}", path.display());
        address.map(Some).map_err(told)
    }
}
