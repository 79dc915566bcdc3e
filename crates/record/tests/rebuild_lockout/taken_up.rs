//! What is asked and told when the work is taken up after the program ended in the middle of a step.

use reseat_record::rebuild::{Point, Wants};

use crate::rebuild_site::{FALK, Site};

fn offered(site: &Site) -> Vec<String> {
    let ask = site.ask();
    assert_eq!(ask.point, Point::Observed, "{ask:#?}");
    let Wants::Choice(labels) = ask.wants else {
        panic!("{ask:#?}")
    };
    labels
}

#[test]
fn a_step_begun_and_not_done_is_an_answer_and_the_right_one() {
    let begun = "begun, not done: Raise the water to 18, 35 and 70 bar, 2 min each";
    let mut site = Site::at("raise-70");
    // The same answers are offered before it is begun, so that they give nothing away.
    site.restarts(FALK);
    assert!(offered(&site).iter().any(|label| label == begun));
    site.picks("Shut drain D");
    assert_eq!(site.last("agrees"), true, "not begun: the step before");

    let mut site = Site::at("raise-70");
    site.types("").unwrap();
    site.restarts(FALK);
    assert!(offered(&site).iter().any(|label| label == begun));
    site.picks(begun);
    assert_eq!(site.last("agrees"), true);
    site.restarts_alike();

    // With the step before seen instead, somebody must look.
    let mut site = Site::at("raise-70");
    site.types("").unwrap();
    site.restarts(FALK);
    site.picks("Shut drain D");
    assert_eq!(site.last("agrees"), false);
    assert!(matches!(site.ask().point, Point::Finding(_)));
}

#[test]
fn whoever_takes_it_up_is_told_the_same_after_a_kill_as_after_a_pause() {
    let site = Site::at("hold-70");
    let killed = site.rebuild().taking_up_words().join("\n");
    for words in [
        "ended without a pause",
        "water",
        "Next: ",
        "Last kept: ",
        "Locks recorded on",
    ] {
        assert!(killed.contains(words), "{words}: {killed}");
    }
    let site = Site::at("gland-flange-off");
    let killed = site.rebuild().taking_up_words().join("\n");
    assert!(killed.contains("Loose: "), "{killed}");
}
