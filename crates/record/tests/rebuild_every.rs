//! Every shipped procedure, walked from start to signature on every route by a technician who answers what is asked.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::Site;
use reseat_procedure::{all_choices, builtin, read};
use reseat_record::rebuild::{Ended, Point};

#[test]
fn every_shipped_procedure_can_be_worked_to_its_signature() {
    for (file, bytes) in builtin() {
        let procedure = read(bytes).unwrap();
        for choices in all_choices(&procedure) {
            let mut site = Site::following(bytes, choices.clone());
            site.start();
            let mut gates = Vec::new();
            loop {
                let ask = site.ask();
                if matches!(ask.point, Point::Gate(_) | Point::LookAgain) {
                    gates.push(ask.step.map(|step| step.id).unwrap_or_default());
                }
                if !site.step() {
                    break;
                }
            }
            // A zero check the program asks by itself is one the author did not write.
            assert!(gates.is_empty(), "{file} {choices:?} {gates:#?}");
            assert_eq!(
                site.rebuild().ended(),
                Some(Ended::Signed),
                "{file} {choices:?}"
            );
            assert!(
                site.rebuild().open_items().is_empty(),
                "{file} {choices:?} {:#?}",
                site.rebuild().open_items()
            );
        }
    }
}
