//! A written check of zero that the end of the program cuts in two.

use reseat_procedure::model::{Asked, EnergyState};
use reseat_procedure::{all_choices, builtin, read};
use reseat_record::rebuild::{Ended, Inner, Point};

use crate::rebuild_site::{FALK, Site};

#[test]
fn a_written_check_that_a_restart_cuts_in_two_begins_anew() {
    let (mut cut, mut tested) = (0, 0);
    for (file, bytes) in builtin() {
        let procedure = read(bytes).unwrap();
        let choices = all_choices(&procedure).into_iter().next().unwrap();
        let mut site = Site::following(bytes, choices);
        site.start();
        while site.step() {
            let Point::Asked(step, at, Inner::Line(part)) = site.ask().point else {
                continue;
            };
            let sections = procedure.sections.iter();
            let mut steps = sections.flat_map(|section| &section.steps);
            let written = steps.find(|written| written.id == step).unwrap();
            let zero = matches!(written.asks[at as usize], Asked::Zero { .. });
            if !zero || part == 0 {
                continue;
            }
            cut += 1;
            let mut site = site.clone();
            site.restarts(FALK);
            site.goes_on(|ask| matches!(ask.point, Point::Asked(..)));
            let anew = Point::Asked(step.clone(), at, Inner::Line(0));
            assert_eq!(site.ask().point, anew, "{file}");
            if written.energy == EnergyState::Test {
                // Its first side is read again, so that nothing let in is left unread at the signatures.
                site.until("");
                assert_eq!(site.rebuild().ended(), Some(Ended::Signed), "{file}");
                tested += 1;
            }
        }
    }
    assert!(
        cut > 20 && tested > 10,
        "{cut} cut in two, {tested} after a test"
    );
}
