//! A choice answered in words: those of an offer are taken, others are told what is offered.

use crate::{STARTS, codes, newest, started_anew};

#[test]
fn a_word_that_is_no_offer_is_told_the_offers_and_one_that_is_goes_on() {
    let (house, ran) = started_anew(&format!("{STARTS}= PTW 1, 24 h\nperhaps\nallowed\nleave\n"));
    ran.exits(1);
    assert_eq!(codes(&ran), ["not-an-offer"]);
    let told = ran.lines("! ")[0].to_owned();
    assert!(
        told.contains("\"perhaps\" is none of the answers here")
            && told.contains("Type one by its number or its words: 1 allowed; 2 "),
        "{told}"
    );
    assert_eq!(newest(&house)["entries"].as_array().unwrap().len(), 3);
}
