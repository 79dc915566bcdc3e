//! Units and their places.

use serde_json::json;

use crate::house::House;

#[test]
fn units_stand_in_places_and_move() {
    let house = House::founded();
    house
        .run(&["units"])
        .exits(0)
        .says("No places or units yet");
    let place = [
        "units",
        "place",
        "FV-3302",
        "--name",
        "brine reject",
        "--point",
        "V-3301;brine;isolating;shut",
    ];
    house.by("Mbali Sefton", &place).exits(0);
    let unit = [
        "units",
        "add",
        "TP-0388",
        "--name",
        "brine reject control valve",
        "--model",
        "DN50 globe",
        "--at",
        "FV-3302",
    ];
    house.by("Mbali Sefton", &unit).exits(0);
    let list = house.run(&["units", "--json"]);
    let expected = json!([{"tag": "FV-3302", "serial": "TP-0388", "name": "brine reject control valve", "model": "DN50 globe",
                           "state": "NO REBUILD HERE YET", "record": null, "in_doubt": 0}]);
    assert_eq!(list.exits(0).json(), expected);
    house
        .by("Mbali Sefton", &["units", "remove", "TP-0388", "FV-3302"])
        .exits(0);
    assert_eq!(
        house.run(&["units"]).exits(0).out,
        "tag      serial   name                        state\n\
         FV-3302           brine reject                NO UNIT FITTED\n         \
                  TP-0388  brine reject control valve  NO REBUILD HERE YET\n"
    );
    house
        .by("Mbali Sefton", &["units", "fit", "TP-0388", "FV-9999"])
        .exits(1);
    house
        .by("Mbali Sefton", &["units", "fit", "TP-9999", "FV-3302"])
        .exits(1);
}
