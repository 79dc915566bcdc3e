//! Lists for the home screen and the command line, from the register and the index.

use std::collections::BTreeMap;

use reseat_history::{Listed, RebuildRow};
use reseat_record::log::{Id, Sealed};
use reseat_record::recall::doubts_by_rebuild;
use reseat_record::register::Register;

use super::{Desk, Fault};

/// A unit as lists show it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitRow {
    /// Tag of the place it is fitted in; empty where it is in none.
    pub tag: String,
    /// Serial; empty for a place that holds no unit.
    pub serial: String,
    /// Name of the unit, or of the empty place.
    pub name: String,
    /// Model; empty for an empty place.
    pub model: String,
    /// State in words.
    pub state: String,
    /// The open rebuild, if there is one.
    pub open: Option<Id>,
    /// How many readings of the rebuild it speaks of are in doubt.
    pub in_doubt: usize,
}

impl Desk {
    /// Places and their units with state in words, open rebuilds first, then by tag; units in no place last.
    ///
    /// # Errors
    /// Storage faults.
    pub fn home_rows(&self) -> Result<Vec<UnitRow>, Fault> {
        let newest = self.history.newest_of_each_unit()?;
        let open = self.history.open_rebuilds()?;
        let doubts = doubts_by_rebuild(&self.register);
        let mut rows: Vec<UnitRow> = Vec::new();
        for place in self.register.places() {
            match place
                .holds
                .as_deref()
                .and_then(|serial| self.register.unit(serial))
            {
                Some(unit) => rows.push(unit_row(&place.tag, unit, &newest, &open, &doubts)),
                None => rows.push(UnitRow {
                    tag: place.tag.clone(),
                    serial: String::new(),
                    name: place.name.clone(),
                    model: String::new(),
                    state: "NO UNIT FITTED".into(),
                    open: None,
                    in_doubt: 0,
                }),
            }
        }
        for unit in self.register.units().filter(|unit| unit.place.is_none()) {
            rows.push(unit_row("", unit, &newest, &open, &doubts));
        }
        rows.sort_by_key(|row| (row.open.is_none(), row.tag.is_empty()));
        Ok(rows)
    }

    /// Rebuilds of one unit by its serial, the one begun last first.
    ///
    /// # Errors
    /// Storage faults.
    pub fn past(&self, serial: &str) -> Result<Vec<RebuildRow>, Fault> {
        Ok(rows_of(self.history.rebuilds_of_unit(serial)?))
    }

    /// Rebuilds at one place by its tag, the one begun last first.
    ///
    /// # Errors
    /// Storage faults.
    pub fn past_at(&self, tag: &str) -> Result<Vec<RebuildRow>, Fault> {
        Ok(rows_of(self.history.rebuilds_at_place(tag)?))
    }
}

fn rows_of(listed: Vec<Listed>) -> Vec<RebuildRow> {
    listed.into_iter().map(|listed| listed.row).collect()
}

fn unit_row(
    tag: &str,
    unit: &reseat_record::register::Unit,
    newest: &[Listed],
    open: &[Listed],
    doubts: &BTreeMap<Id, usize>,
) -> UnitRow {
    let of = |list: &[Listed]| {
        list.iter()
            .find(|listed| {
                listed
                    .row
                    .serial
                    .as_deref()
                    .is_some_and(|serial| serial.eq_ignore_ascii_case(&unit.serial))
            })
            .map(|listed| listed.row.clone())
    };
    let (open, last) = (of(open), of(newest));
    let shown = open.as_ref().or(last.as_ref());
    let in_doubt = shown.and_then(|row| doubts.get(&row.stream)).copied();
    let state = match (&open, last) {
        (Some(row), _) => row.state.clone(),
        (None, Some(row)) => row.outcome.unwrap_or(row.state),
        (None, None) => "NO REBUILD HERE YET".into(),
    };
    UnitRow {
        tag: tag.to_owned(),
        serial: unit.serial.clone(),
        name: unit.name.clone(),
        model: unit.model.clone(),
        state,
        open: open.map(|row| row.stream),
        in_doubt: in_doubt.unwrap_or_default(),
    }
}

/// The index row of the register after an entry.
pub(super) fn register_row(register: &Register, sealed: &Sealed) -> RebuildRow {
    RebuildRow {
        stream: sealed.entry.stream,
        is_register: true,
        serial: None,
        tag: None,
        // Of a register only its existence and head are ever listed; the time of its last entry says as much as the first.
        started: sealed.entry.utc.clone(),
        closed: None,
        by: None,
        outcome: None,
        state: register.site().map_or_else(
            || "REGISTER".to_owned(),
            |site| format!("REGISTER OF {}", site.name),
        ),
        demo: sealed.entry.demo,
        head: sealed.entry.number,
    }
}
