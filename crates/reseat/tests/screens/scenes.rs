//! Every screen by name, brought there by keys, for the snapshots and the pictures.

use reseat::keys::Stroke;
use reseat::screen::Model;
use reseat::screen::message::{Outcome, Said, Secret};
use zeroize::Zeroizing;

use crate::{Seat, samples};

/// Every screen by name, as a model ready to be drawn.
pub(crate) fn scenes() -> Vec<(&'static str, Model)> {
    let mut scenes: Vec<(&'static str, Model)> = Vec::new();
    let mut add = |name, seat: Seat| scenes.push((name, seat.model));
    add("home", Seat::showing(Outcome::Home(samples::lists::home())));
    add("unit", Seat::showing(Outcome::Unit(samples::lists::unit())));
    let mut start = Seat::showing(Outcome::Start(samples::lists::start()));
    start.types("4711");
    start.keys(&[Stroke::Enter]);
    start.types("FV-3302");
    start.keys(&[Stroke::Enter]);
    start.types("TP-0389");
    start.keys(&[Stroke::Enter]);
    add("start", start);
    add(
        "resume",
        Seat::showing(Outcome::Resume(samples::lists::resume())),
    );
    for (name, sight) in vec![
        ("isolating", samples::acts::isolating()),
        ("lock_off", samples::acts::lock_off()),
        ("tightening", samples::joint::tightening()),
        ("pass", samples::joint::pass(6)),
        ("click", samples::joint::clicking(6)),
        ("guarded", samples::joint::guarded()),
        ("high", samples::joint::high()),
        ("stretched", samples::verdicts::stretched()),
        ("not_accepted", samples::verdicts::not_accepted()),
        ("prevailing", samples::verdicts::prevailing()),
        ("worn", samples::verdicts::worn()),
        ("orientation", samples::acts::orientation()),
        ("plain_act", samples::acts::plain_act()),
        ("waiting", samples::acts::waiting(false)),
        ("testing", samples::test::testing()),
        ("holding", samples::test::holding()),
        ("held_of_two", samples::test::held_of_two()),
        ("leaking", samples::test::leaking()),
        ("let_by", samples::test::let_by()),
        ("too_soft", samples::test::too_soft()),
        ("balance", samples::acts::balance()),
        ("open_items", samples::acts::open_items()),
    ] {
        add(name, Seat::working(sight));
    }
    add("repeating", Seat::working(samples::test::repeating()));
    let mut refused = Seat::working(samples::joint::tightening());
    refused.types("122");
    refused.keys(&[Stroke::Enter]);
    refused.came(Outcome::Refused(Said::refusal(
        "off-the-scale",
        "222 N·m is off the scale of TW-19, 40..200 N·m.",
        "Read the dial again; the number as typed is not a reading.",
    )));
    add("refused", refused);
    let mut stop = Seat::working(samples::joint::tightening());
    stop.keys(&[Stroke::F(9)]);
    add("stop", stop);
    let mut more = Seat::working(samples::joint::tightening());
    more.keys(&[Stroke::F(6)]);
    add("more", more);
    let mut wrong = Seat::working(samples::joint::tightening());
    wrong.keys(&[Stroke::F(2)]);
    wrong.types("a digit too many");
    add("typed_wrong", wrong);
    let mut safer = Seat::working(samples::joint::high());
    safer.keys(&[Stroke::F(3), Stroke::Char('1'), Stroke::Enter]);
    add("makes_safer", safer);
    let mut sign = Seat::working(samples::acts::open_items());
    sign.types("odde");
    sign.keys(&[Stroke::Enter]);
    sign.types("geheim");
    add(
        "passphrase",
        Seat {
            model: sign.model.clone(),
            ..Seat::at(80, 24)
        },
    );
    sign.came(Outcome::Unsealed(samples::id(2), 6));
    sign.types("1234");
    add("pin", sign);
    let mut help = Seat::working(samples::joint::tightening());
    help.keys(&[Stroke::F(1)]);
    add("help", help);
    add(
        "record",
        Seat::showing(Outcome::Record(samples::lists::record())),
    );
    add(
        "register",
        Seat::showing(Outcome::Register {
            sight: samples::lists::register(),
            changed: false,
        }),
    );
    add(
        "recall",
        Seat::showing(Outcome::Recall(samples::lists::recall())),
    );
    let mut enrol = Seat::showing(Outcome::Register {
        sight: samples::lists::register(),
        changed: false,
    });
    enrol.keys(&[Stroke::Char('a')]);
    enrol.types("Lena Tarn");
    enrol.keys(&[Stroke::Enter, Stroke::Char('1'), Stroke::Char('2')]);
    add("enrol", enrol);
    let mut founding = Seat::showing(Outcome::Unfounded);
    founding.types("Tern Point");
    add("founding", founding);
    let words: Vec<String> = (1..=33).map(|number| format!("word{number}")).collect();
    add(
        "words",
        Seat::showing(Outcome::Founded {
            words: Secret(Zeroizing::new(words.join(" "))),
        }),
    );
    let slip = (
        "\"does\": [{\"hand_start\": \"J1\"}]",
        "\"does\": [{\"clean\": []}]",
    );
    let mut pages = Seat::showing(Outcome::Pages(Box::new(samples::lists::pages(
        "FV-3302.json",
        Some(slip),
    ))));
    pages.keys(&[Stroke::Char('n')]);
    add("pages", pages);
    let mut options = Seat::showing(Outcome::Pages(Box::new(samples::lists::pages(
        "BPR-VENT-11.json",
        None,
    ))));
    add(
        "pages_cover",
        Seat {
            model: options.model.clone(),
            ..Seat::at(80, 24)
        },
    );
    options.keys(&[Stroke::Char('o'), Stroke::End]);
    options.keys(&[Stroke::Left; 60]);
    add("pages_options", options);
    add("hostile", Seat::working(samples::acts::hostile()));
    scenes
}
