//! A second person is another one: who is at the keys is not offered as his own.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, ODDE, Site};
use reseat_record::rebuild::{Command, Given, Wants};

#[test]
fn who_is_at_the_keys_is_not_his_own_second_person() {
    let mut site = Site::new();
    site.start();
    site.goes_on(|ask| ask.prompt == "Second person for the lifts");
    let ask = site.ask();
    let Wants::Person(among) = &ask.wants else {
        panic!("{ask:#?}")
    };
    assert!(among.len() > 1, "{among:?}");
    assert!(among.iter().all(|(id, _)| *id != FALK), "{among:?}");
    let himself = Command::Answer {
        point: ask.point.clone(),
        given: Given::Person(FALK),
    };
    assert_eq!(site.refused(himself, FALK), "wrong-kind");
    site.types(&ODDE.to_string()).unwrap();
    assert_eq!(site.last_kind(), "named/1");
}
