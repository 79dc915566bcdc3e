//! The pictures of the docs and the page of keys are what the program draws now.

use std::collections::BTreeMap;
use std::path::PathBuf;

use reseat::screen::Model;
use reseat::theme::Scheme;
use reseat::{keys, svg};

use crate::drawn;
use crate::scenes::scenes;

fn docs() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs")
}

/// Holds a generated file fresh, or writes it where `UPDATE_PICTURES` is set.
fn fresh(name: &str, wanted: &str) {
    let path = docs().join(name);
    if std::env::var_os("UPDATE_PICTURES").is_some() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, wanted).unwrap();
    }
    let stands = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        stands == wanted,
        "docs/{name} is out of date: UPDATE_PICTURES=1 cargo test -p reseat --test screens"
    );
}

#[test]
fn the_page_of_keys_is_fresh() {
    fresh("keys.md", &keys::page());
}

#[test]
fn the_pictures_are_fresh() {
    let shown = [
        ("home", "Places and units"),
        ("unit", "A unit and its past"),
        ("start", "Starting a rebuild whose nameplate differs"),
        ("resume", "Taking a rebuild up again"),
        ("isolating", "Isolating: the table of energies"),
        ("lock_off", "A lock recorded off"),
        ("tightening", "Tightening a joint"),
        ("high", "A reading that is HIGH"),
        ("orientation", "A part with a right way up"),
        ("testing", "Under test"),
        ("open_items", "What is still open before signing"),
        ("record", "A record read back"),
        ("register", "The register"),
        ("pages", "A procedure page by page"),
        ("recall", "An instrument found out, before anybody signs"),
        ("pin", "A signature"),
        ("stop", "STOP"),
    ];
    let scenes: BTreeMap<&str, Model> = scenes().into_iter().collect();
    for (name, title) in shown {
        let picture = svg::picture(&drawn(&scenes[name], 80, 24), title);
        fresh(&format!("pictures/{name}.svg"), &picture);
    }
    let mut sun = scenes["tightening"].clone();
    fresh(
        "pictures/tightening-wide.svg",
        &svg::picture(
            &drawn(&sun, 160, 50),
            "Tightening a joint on a large screen",
        ),
    );
    sun.common.scheme = Scheme::Sun;
    fresh(
        "pictures/tightening-sun.svg",
        &svg::picture(
            &drawn(&sun, 80, 24),
            "Tightening a joint, colours for daylight",
        ),
    );
}
