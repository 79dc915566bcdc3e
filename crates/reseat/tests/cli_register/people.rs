//! People enrolled, given roles and retired; passphrase files; the words of the site key.

use serde_json::json;

use crate::house::House;

#[test]
fn a_lead_enrols_gives_roles_and_retires() {
    let house = House::founded();
    let added = house.by(
        "Mbali Sefton",
        &[
            "people",
            "add",
            "Ines Falk",
            "--role",
            "performer",
            "--role",
            "verifier",
        ],
    );
    assert_eq!(
        house.plain(&added.exits(0).out),
        "Ines Falk is enrolled, id [ID]\n"
    );
    house
        .by(
            "mbali sefton",
            &["people", "roles", "Ines Falk", "--role", "performer"],
        )
        .exits(0);
    house
        .by(
            "Mbali Sefton",
            &["people", "retire", "Ines Falk", "--reason", "left the site"],
        )
        .exits(0);
    let list = house.run(&["people", "--json"]);
    let falk = list
        .exits(0)
        .json()
        .as_array()
        .unwrap()
        .iter()
        .find(|one| one["name"] == "Ines Falk")
        .unwrap()
        .clone();
    assert_eq!(
        (&falk["roles"], &falk["retired"]),
        (&json!(["performer"]), &json!(true))
    );
    let shown = house.run(&["people"]);
    assert_eq!(
        house.plain(&shown.exits(0).out),
        "name          id                   roles\n\
         Mbali Sefton  [ID]  lead\n\
         Tomas Brel    [ID]  author\n\
         Yara Quist    [ID]  approver\n\
         Ines Falk     [ID]  retired\n"
    );
}

#[test]
fn a_refusal_is_said_with_its_remedy_and_exit_1() {
    let house = House::founded();
    let not_lead = house.by(
        "Tomas Brel",
        &["people", "add", "Ines Falk", "--role", "performer"],
    );
    not_lead.exits(1).says("error: ").says("help: ");
    house
        .by(
            "Mbali Sefton",
            &["people", "add", "Tomas Brel", "--role", "performer"],
        )
        .exits(1)
        .says("already on the register");
    house
        .by(
            "Nobody",
            &["people", "retire", "Tomas Brel", "--reason", "x"],
        )
        .exits(1)
        .says("not on the register");
    house
        .by(
            "Mbali Sefton",
            &["people", "retire", "Nobody", "--reason", "x"],
        )
        .exits(1)
        .says("not on the register");
    house
        .by(
            "Mbali Sefton",
            &["people", "retire", "Mbali Sefton", "--reason", "x"],
        )
        .exits(1);
    let steering = "a\u{1b}[2J";
    house
        .by(
            "Mbali Sefton",
            &["people", "retire", "Tomas Brel", "--reason", steering],
        )
        .exits(1)
        .says("control character");
}

#[test]
fn passphrase_files_that_do_not_help_are_named() {
    let house = House::founded();
    let args = [
        "people",
        "retire",
        "Tomas Brel",
        "--reason",
        "x",
        "--by",
        "Mbali Sefton",
    ];
    house
        .run(&args)
        .exits(2)
        .says("no terminal")
        .says("--passphrase-file");
    let with = |name: &str| {
        House::ran(
            house
                .command()
                .args(args)
                .arg("--passphrase-file")
                .arg(house.path(name)),
        )
    };
    with("nowhere").exits(2).says("cannot be read");
    house.write("short", "Mbali Sefton\tosmosis runs uphill\n");
    with("short").exits(2).says("Line 1 of");
    house.write("other", "Tomas Brel\tx\t1\n");
    with("other").exits(2).says("no line for Mbali Sefton");
    house.write("wrong", "Mbali Sefton\twrong passphrase\t314159\n");
    with("wrong").exits(1).says("does not open");
    house.write("pin", "Mbali Sefton\tosmosis runs uphill\t000000\n");
    with("pin").exits(1).says("Wrong PIN. 4 tries are left.");
}

#[test]
fn the_words_of_the_site_give_the_last_lead_a_new_key() {
    let house = House::founded();
    house.write("new", "Mbali Sefton\tosmosis runs downhill\t314159\n");
    let lead = |words: &str| {
        let mut command = house.command();
        command
            .args(["people", "lead", "Mbali Sefton", "--words"])
            .arg(house.path(words));
        House::ran(command.arg("--passphrase-file").arg(house.path("new")))
    };
    lead("missing").exits(2).says("cannot be read");
    house.write("few", "acorn alder amber");
    lead("few")
        .exits(1)
        .says("ords typed: 3; the paper has 33.");
    lead("words").exits(0).says("Mbali Sefton has a new key.");
    let args = ["people", "retire", "Tomas Brel", "--reason", "x"];
    house
        .by("Mbali Sefton", &args)
        .exits(1)
        .says("does not open");
    house.write("secrets", "Mbali Sefton\tosmosis runs downhill\t314159\n");
    house.by("Mbali Sefton", &args).exits(0);
}
