//! The demo at its desk, some hours after it was left.

#![allow(clippy::unwrap_used)] // test code: a failure is what the test shows

use std::path::Path;

use reseat::demo;
use reseat::desk::{Desk, SetTime, Time};
use reseat_record::log::Id;

const NOW: &str = "2026-03-12T12:00:00.000Z+01:00";

/// The demo of this home, made where it does not stand.
pub(crate) fn open_demo(root: &Path) -> (Desk, SetTime) {
    let time = SetTime::at(NOW).unwrap();
    if !demo::stands(root).unwrap() {
        demo::make(root, time.wall()).unwrap();
    }
    (Desk::open(root, Box::new(time.clone())).unwrap(), time)
}

pub(crate) fn id(desk: &Desk, name: &str) -> Id {
    desk.register().person_named(name).unwrap().id
}

/// Opens everybody's key.
pub(crate) fn sit_down_all(desk: &mut Desk) {
    for person in demo::people() {
        let id = id(desk, person.name);
        desk.unseal(&id, person.passphrase).unwrap();
    }
}

/// Proves a person by his PIN for the next signed act.
pub(crate) fn pin(desk: &mut Desk, by: &Id) {
    let name = desk.register().person(*by).unwrap().name.clone();
    let person = demo::people()
        .into_iter()
        .find(|person| person.name == name)
        .unwrap();
    desk.check_pin(by, person.pin).unwrap();
}
