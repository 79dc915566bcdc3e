//! Small procedures made from a number: sound ones, with none to three slips put in on purpose.

use serde_json::{Value, json};

/// Numbers by xorshift with a multiplier: one number gives one case, for ever.
struct Chance(u64);

impl Chance {
    fn of(case: u64) -> Self {
        Self(case.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66_D1CE_4E5B | 1)
    }

    fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let drawn = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33;
        usize::try_from(drawn).unwrap_or(0) % end.max(1)
    }

    /// True once in so many.
    fn once_in(&mut self, many: usize) -> bool {
        self.below(many) == 0
    }
}

/// What one case is made of.
struct Made {
    sources: usize,
    /// Sources with two drains, each opened by a word of its own.
    two_drains: bool,
    /// Drains are shut for a refill watch and opened again.
    watch: bool,
    parts: Vec<Value>,
    joints: Vec<Value>,
    spring: bool,
    cover: bool,
    option: bool,
    recheck: bool,
}

fn only_a(thing: &mut Value) {
    thing["when"] = json!({"kind": ["a"]});
}

fn made(chance: &mut Chance) -> Made {
    let option = chance.once_in(2);
    let cover = chance.once_in(2);
    let depth = 2 + chance.below(3);
    let mut parts = Vec::new();
    for at in 0..depth {
        let mut part =
            json!({"id": format!("p{at}"), "label": "part", "count": 1 + chance.below(2)});
        let new = chance.once_in(2);
        part["single_use"] = new.into();
        part["from_kit"] = new.into();
        part["oriented"] = chance.once_in(3).into();
        part["long_tool"] = chance.once_in(8).into();
        if new && chance.once_in(2) {
            part["elastomer"] = json!(["EPDM", "VMQ"][chance.below(2)]);
        }
        let mut under = Vec::new();
        if at > 0 {
            under.push(format!("p{}", at - 1));
        }
        if cover && at + 1 == depth {
            under.push("blank".to_owned());
        }
        part["under"] = under.into();
        if option && at + 1 == depth {
            only_a(&mut part);
        }
        parts.push(part);
    }
    if chance.once_in(2) {
        parts[0]["inspections"] = 1.into();
    }
    let recheck = chance.once_in(3);
    let mut joints = vec![joint("J1", 4, &["p0"])];
    joints[0]["boundary"] = "body".into();
    if recheck {
        joints[0]["recheck_after"] = 60.into();
    }
    if chance.once_in(2) {
        joints[0]["lubricant"] = "NA-2".into();
    }
    if chance.once_in(2) {
        joints.push(joint("J2", 1 + chance.below(3), &["p1"]));
        if chance.once_in(2) {
            joints[1]["pattern"] = "single".into();
        }
    }
    Made {
        sources: 1 + chance.below(2),
        two_drains: chance.once_in(4),
        watch: chance.once_in(2),
        parts,
        joints,
        spring: chance.once_in(3),
        cover,
        option,
        recheck,
    }
}

fn joint(id: &str, fasteners: usize, clamps: &[&str]) -> Value {
    json!({
        "id": id, "label": "joint", "fasteners_named": "nuts", "fasteners": fasteners, "thread": "M10×1.5", "grade": "A4-70", "condition": "N",
        "pattern": "cross", "wrenches": ["TW-1"], "passes": ["7 N·m", "13 N·m", "20.5 N·m"], "window": "19..22 N·m", "rounds": {"up_to": 3},
        "numbering": "paint 1 to 4", "clamps": clamps,
    })
}

/// The steps of the case, sound, in order.
struct Steps(Vec<Value>);

impl Steps {
    fn add(&mut self, energy: &str, asks: Value, does: Value) -> &mut Value {
        let id = format!("s{}", self.0.len());
        self.0.push(
            json!({"id": id, "text": "Do it.", "energy": energy, "asks": asks, "does": does}),
        );
        self.0
            .last_mut()
            .unwrap_or_else(|| unreachable!("a step was just added"))
    }

    fn make_safe(&mut self, made: &Made) {
        self.add("running", json!([]), json!([]))["hold"] = "operations".into();
        for at in 0..made.sources {
            self.add(
                "isolating",
                json!([]),
                json!([{"isolate": format!("V{at}")}]),
            );
            self.add("isolating", json!([]), json!([{"lock": format!("V{at}")}]));
        }
        self.add(
            "isolating",
            json!([{"own_locks": {"lock_box": "LB"}}]),
            json!([]),
        );
        for at in 0..made.sources {
            let (drain, second) = (format!("D{at}"), format!("E{at}"));
            let opens = if made.two_drains {
                json!([{"isolate": drain}, {"isolate": second}, {"release": format!("e{at}")}])
            } else {
                json!([{"release": format!("e{at}")}])
            };
            self.add("isolating", json!([]), opens);
            if made.watch {
                let wait = json!([{"wait": {"minutes": 5}}]);
                self.add("isolating", wait, json!([{"restore": drain}]));
            }
            let reading = json!([{"reading": {"id": format!("r{at}"), "label": "side", "window": "-0.1..0.1 bar g", "instruments": ["PG-1"], "proves": format!("z{at}")}}]);
            self.add("isolating", reading, json!([{"prove": format!("z{at}")}]));
            if made.watch {
                self.add("isolating", json!([]), json!([{"isolate": drain}]));
            }
            self.add("isolating", json!([]), json!([{"lock": drain}]));
        }
        if made.spring {
            self.add("isolating", json!([]), json!([{"release": "spring"}]));
        }
        let all: Vec<Value> = (0..made.sources)
            .map(|at| json!({"prove": format!("z{at}")}))
            .collect();
        self.add("isolating", json!([]), all.into())["hold"] = "releaser".into();
    }

    fn apart(&mut self, made: &Made) {
        let clamps = |joint: &Value, part: &Value| {
            joint["clamps"]
                .as_array()
                .is_some_and(|clamps| clamps.contains(&part["id"]))
        };
        for part in &made.parts {
            for joint in made.joints.iter().filter(|joint| clamps(joint, part)) {
                let id = &joint["id"];
                self.add("zero", json!([]), json!([{"slacken": id}]));
                if joint["fasteners"].as_u64() >= Some(4) {
                    self.add("zero", json!([]), json!([{"crack": id}]));
                }
                self.add("zero", json!([]), json!([{"unfasten": id}]));
            }
            self.of_part(part, "off");
        }
        if made.cover {
            self.add("zero", json!([]), json!([{"cover_on": "blank"}]));
        }
        self.add("zero", json!(["dispositions"]), json!([]));
        self.add("zero", json!([]), json!(["scrap"]));
        self.add("zero", json!([]), json!([{"clean": []}]));
        self.add(
            "zero",
            json!([]),
            json!([{"inspect": [made.parts[0]["id"]]}]),
        );
        self.add("zero", json!(["decisions"]), json!([]))["hold"] = "releaser".into();
        if made.cover {
            self.add("zero", json!([]), json!([{"cover_off": "blank"}]));
        }
    }

    fn of_part(&mut self, part: &Value, word: &str) -> &mut Value {
        let step = self.add(
            "zero",
            json!([]),
            json!([{word: {"part": part["id"], "count": part["count"]}}]),
        );
        if !part["when"].is_null() {
            step["when"] = part["when"].clone();
        }
        step
    }

    fn together(&mut self, made: &Made) {
        for part in made.parts.iter().rev() {
            if part["elastomer"] == "EPDM" {
                self.of_part(part, "off")["does"] =
                    json!([{"lubricate": {"parts": [part["id"]], "with": "SG-1"}}]);
            }
            let step = self.of_part(part, "on");
            if part["oriented"] == true {
                step["asks"] = json!(["done", {"orientation": {"question": "Which?", "answers": ["dot", "line"], "right": "dot"}}]);
            } else if part["from_kit"] == true {
                step["verify"] = "concurrent".into();
                if let Some(does) = step["does"].as_array_mut() {
                    does.push(json!({"verify": [part["id"]]}));
                }
            }
            for joint in made.joints.iter().filter(|joint| {
                joint["clamps"]
                    .as_array()
                    .is_some_and(|clamps| clamps.contains(&part["id"]))
            }) {
                let id = &joint["id"];
                if !joint["lubricant"].is_null() {
                    self.add(
                        "zero",
                        json!([{"condition": {"joint": id}}]),
                        json!([{"lubricate": {"joints": [id], "with": "NA-2"}}]),
                    );
                }
                self.add("zero", json!([]), json!([{"hand_start": id}]));
                self.add(
                    "zero",
                    json!([{"tighten": {"joint": id}}]),
                    json!([{"tighten": id}]),
                );
            }
        }
        self.add("zero", json!(["balance"]), json!([]));
        if made.recheck {
            self.add("zero", json!([{"rest": {"minutes": 60}}]), json!(["rest"]));
            self.add(
                "zero",
                json!([{"recheck": {"joint": "J1", "at": "20 N·m"}}]),
                json!([{"recheck": "J1"}]),
            );
        }
        self.add("zero", json!(["tools_out"]), json!([]));
    }

    fn test_and_return(&mut self, made: &Made) {
        for at in 0..made.sources {
            self.add("test", json!([]), json!([{"unlock": format!("D{at}")}]));
            self.add("test", json!([]), json!([{"restore": format!("D{at}")}]));
        }
        let low = json!([{"let_in": {"chamber": "body", "pressure": "5 bar g", "gauge": "PG-1"}}]);
        self.add("test", json!([]), low)["lets_in"] = "water".into();
        let high =
            json!([{"let_in": {"chamber": "body", "pressure": "15 bar g", "gauge": "PG-1"}}]);
        self.add("test", json!([]), high)["lets_in"] = "water".into();
        self.add("test", json!([]), json!(["test"]));
        let mut vents = vec![json!({"let_out": "body"})];
        vents.extend((0..made.sources).map(|at| json!({"isolate": format!("D{at}")})));
        self.add("test", json!([]), vents.into());
        let all: Vec<Value> = (0..made.sources)
            .map(|at| json!({"prove": format!("z{at}")}))
            .collect();
        self.add("test", json!([{"zero": {}}]), all.into());
        self.add("returning", json!(["tools_out"]), json!([]));
        self.add("returning", json!(["own_locks_off"]), json!([]));
        for at in 0..made.sources {
            self.add(
                "returning",
                json!([]),
                json!([{"restore": format!("D{at}")}]),
            );
            if made.two_drains {
                let second = json!([{"restore": format!("E{at}")}]);
                self.add("returning", json!([]), second);
            }
            self.add(
                "returning",
                json!([]),
                json!([{"unlock": format!("V{at}")}]),
            );
            self.add(
                "returning",
                json!([]),
                json!([{"restore": format!("V{at}")}]),
            );
        }
        self.add("returning", json!([]), json!([]))["hold"] = "operations".into();
        self.add("returning", json!(["sign"]), json!([]));
    }
}

fn procedure(made: Made, steps: Vec<Value>) -> Value {
    let mut energies = Vec::new();
    let mut points = Vec::new();
    let mut zero = Vec::new();
    for at in 0..made.sources {
        energies.push(json!({"id": format!("e{at}"), "label": "water", "kind": "process", "size": "10 bar", "method": "shut"}));
        points.push(json!({"id": format!("V{at}"), "label": "V", "energy": format!("e{at}"), "kind": "isolating", "position": "shut", "lock": format!("L{at}")}));
        points.push(json!({"id": format!("D{at}"), "label": "D", "energy": format!("e{at}"), "kind": "drain", "position": "open", "lock": format!("LD{at}")}));
        if made.two_drains {
            points.push(json!({"id": format!("E{at}"), "label": "E", "energy": format!("e{at}"), "kind": "drain", "position": "open"}));
        }
        zero.push(json!({"id": format!("z{at}"), "label": "side", "energy": format!("e{at}"), "instrument": "PG-1", "window": "-0.1..0.1 bar g", "vent": format!("D{at}")}));
    }
    if made.spring {
        energies.push(json!({"id": "spring", "label": "spring", "kind": "spring", "size": "5 kN", "method": "back off"}));
    }
    let options = if made.option {
        json!([{"id": "kind", "question": "Which?", "values": [{"id": "a", "label": "a"}, {"id": "b", "label": "b"}]}])
    } else {
        json!([])
    };
    json!({
        "format": 1, "number": "P-1", "revision": "A", "title": "unit", "author": "Tomas Brel", "models": ["S-10"], "options": options,
        "energies": energies, "points": points, "zero": zero, "zero_release": "releaser", "parts": made.parts, "joints": made.joints,
        "chambers": [{"id": "body", "label": "body", "limit": "16 bar g", "test": "15 bar g"}], "covers": [{"id": "blank", "label": "blank"}],
        "instruments": [{"id": "PG-1", "label": "gauge", "range": "0..25 bar g"}, {"id": "TW-1", "label": "wrench", "range": "3..30 N·m"}],
        "consumables": [{"id": "NA-2", "label": "anti-seize"}, {"id": "SG-1", "label": "grease", "never_on": ["VMQ"]}], "kit": {"number": "K-1"},
        "sections": [{"id": "work", "title": "Work", "energy": "zero", "steps": steps}],
    })
}

fn sound(chance: &mut Chance) -> Value {
    let made = made(chance);
    let mut steps = Steps(Vec::new());
    steps.make_safe(&made);
    steps.apart(&made);
    steps.together(&made);
    steps.test_and_return(&made);
    procedure(made, steps.0)
}

fn steps_of(case: &mut Value) -> &mut Vec<Value> {
    case["sections"][0]["steps"]
        .as_array_mut()
        .unwrap_or_else(|| unreachable!("the steps of a case"))
}

/// One slip on purpose.
fn slip(case: &mut Value, chance: &mut Chance) {
    let kind = chance.below(14);
    if kind >= 12 {
        return wrong_declaration(case, chance);
    }
    let steps = steps_of(case);
    let at = chance.below(steps.len());
    match kind {
        0 | 1 => drop(steps.remove(at)),
        2 => {
            // A cover is seldom in a case; without this hardly one would go on twice.
            let cover = steps
                .iter()
                .position(|step| step["does"][0]["cover_on"].is_string());
            let at = cover.filter(|_| chance.once_in(4)).unwrap_or(at);
            let mut again = steps[at].clone();
            again["id"] = json!(format!(
                "{} again {}",
                again["id"].as_str().unwrap_or_default(),
                chance.below(1_000_000)
            ));
            let place = if chance.once_in(2) {
                at + 1
            } else {
                chance.below(steps.len())
            };
            steps.insert(place, again);
        }
        3 => {
            let next = (at + 1).min(steps.len() - 1);
            steps.swap(at, next);
        }
        4 => {
            let moved = steps.remove(at);
            steps.insert(chance.below(steps.len()), moved);
        }
        5 => drop(steps[at]["does"].as_array_mut().map(Vec::pop)),
        6 => {
            for deed in steps[at]["does"].as_array_mut().into_iter().flatten() {
                for word in ["on", "off"] {
                    if deed[word].is_object() {
                        deed[word]["count"] = (1 + chance.below(3)).into();
                    }
                }
            }
        }
        7 => {
            steps[at]["energy"] =
                json!(["running", "isolating", "zero", "test", "returning"][chance.below(5)]);
        }
        8 => drop(steps[at].as_object_mut().map(|step| step.remove("hold"))),
        9 => steps[at]["asks"] = json!([]),
        10 => {
            let other = steps[chance.below(steps.len())]["does"].clone();
            steps[at]["does"] = other;
        }
        _ => drop(steps[at].as_object_mut().map(|step| step.remove("lets_in"))),
    }
}

fn wrong_declaration(case: &mut Value, chance: &mut Chance) {
    let parts = case["parts"]
        .as_array_mut()
        .unwrap_or_else(|| unreachable!("the parts of a case"));
    let at = chance.below(parts.len());
    match chance.below(9) {
        0 => parts[at]["single_use"] = (parts[at]["single_use"] == false).into(),
        1 => parts[at]["from_kit"] = (parts[at]["from_kit"] == false).into(),
        2 => parts[at]["under"] = json!([]),
        3 => parts[at]["count"] = (1 + chance.below(3)).into(),
        4 => parts[at]["oriented"] = (parts[at]["oriented"] == false).into(),
        5 => parts[at]["elastomer"] = "VMQ".into(),
        7 => drop(case["zero"].as_array_mut().map(Vec::pop)),
        6 if case["options"][0].is_object() => only_a(&mut case["joints"][0]),
        6 => case["joints"][0]["lubricant"] = "SG-1".into(),
        _ => case["joints"][0]["passes"][1] = "7 N·m".into(),
    }
}

pub(crate) fn case(number: u64) -> Value {
    let mut chance = Chance::of(number);
    let mut case = sound(&mut chance);
    for _ in 0..chance.below(4) {
        slip(&mut case, &mut chance);
    }
    case
}
