//! The end of a tag, typed as it is read at the unit: which of the open rebuilds is meant.

use reseat_record::log::Id;

use super::{Desk, Fault};

/// Least characters of a tag's end.
const LEAST: usize = 2;

/// Why what was typed does not name a rebuild by the end of its tag.
///
/// # Errors
/// One sentence: it is not the end of this tag, it is too short, or another open rebuild's tag ends so too.
pub fn ends_tag(typed: &str, tag: &str, others: &[String]) -> Result<(), String> {
    let typed = typed.trim().to_lowercase();
    let ends = |tag: &str| tag.to_lowercase().ends_with(&typed);
    if typed.chars().count() < LEAST.min(tag.chars().count()) || !ends(tag) {
        return Err("That is not how the tag of this rebuild ends.".to_owned());
    }
    let whole = typed == tag.to_lowercase();
    match others.iter().find(|other| ends(other) && !whole) {
        Some(other) => Err(format!(
            "The tags of two open rebuilds end so: this one and {other}."
        )),
        None => Ok(()),
    }
}

impl Desk {
    /// Tags of the open rebuilds other than this.
    ///
    /// # Errors
    /// The history cannot be read.
    pub fn other_open_tags(&self, stream: &Id) -> Result<Vec<String>, Fault> {
        let open = self.history.open_rebuilds()?;
        let others = open.into_iter().filter(|row| row.row.stream != *stream);
        Ok(others.filter_map(|row| row.row.tag).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_end_names_one_open_rebuild_or_is_refused() {
        let others = ["PCV-2107".to_owned(), "LV-3302".to_owned()];
        assert!(ends_tag("FV-3302", "FV-3302", &others).is_ok());
        assert!(
            ends_tag("v-3302", "FV-3302", &others)
                .unwrap_err()
                .contains("LV-3302")
        );
        assert!(ends_tag("fv-3302", "FV-3302", &others).is_ok());
        assert!(ends_tag("02", "FV-3302", &others[..1]).is_ok());
        assert!(
            ends_tag("07", "FV-3302", &others)
                .unwrap_err()
                .contains("not how")
        );
        assert!(ends_tag("2", "FV-3302", &[]).is_err());
        assert!(ends_tag("", "FV-3302", &[]).is_err());
        assert!(ends_tag("7", "7", &[]).is_ok());
    }
}
