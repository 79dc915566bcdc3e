//! What the model knows of the steps of a procedure, read from its JSON.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

/// What the model knows of a step, taken from the procedure's JSON alone.
#[derive(Clone, Default)]
pub struct Step {
    pub safer: bool,
    pub energy: String,
    pub lets_in: bool,
    pub check: bool,
    /// Sides that this check proves by the vent alone.
    pub by_vent: Vec<String>,
    /// Sides proved by a reading of this step, by what is read.
    pub proves: Vec<(String, String)>,
    /// Isolating points that the step frees.
    pub frees: Vec<String>,
    /// Opens an isolating point or lets energy in.
    pub opens: bool,
    /// Says that tools, or people, are clear.
    pub clears: (bool, bool),
    /// Asks that count or wait and touch nothing: tools, parts, a rest.
    pub quiet: bool,
    /// Takes own locks off.
    pub own_off: bool,
    /// Operations take the unit back with it.
    pub hands_back: bool,
    /// Asks for the count of tools, by its place in the step.
    pub tools: Option<u64>,
    /// How many answers it asks for.
    pub asks: u64,
    /// Its place in the order of work.
    pub place: usize,
    /// Energies that it relieves.
    pub relieves: Vec<String>,
    /// What it reads with its last answer.
    pub reads_last: Option<String>,
    /// Only some options have it.
    pub optional: bool,
}

impl Step {
    /// A step as the procedure writes it, in the state of its section where it has none of its own.
    fn read(step: &Value, by_section: &str, isolating: &BTreeSet<String>) -> Self {
        let asks: Vec<String> = step["asks"]
            .as_array()
            .into_iter()
            .flatten()
            .map(ToString::to_string)
            .collect();
        let does: Vec<&Value> = step["does"].as_array().into_iter().flatten().collect();
        let asked: Vec<&Value> = step["asks"].as_array().into_iter().flatten().collect();
        let freed = |member: &str| -> Vec<String> {
            does.iter()
                .filter_map(|deed| deed[member].as_str())
                .filter(|point| isolating.contains(*point))
                .map(str::to_owned)
                .collect()
        };
        Self {
            frees: freed("unlock"),
            opens: !freed("restore").is_empty()
                || step["lets_in"].is_string()
                || does.iter().any(|deed| deed["let_in"].is_object()),
            clears: (
                does.iter().any(|deed| *deed == "tools_clear"),
                does.iter().any(|deed| *deed == "people_clear"),
            ),
            quiet: asked
                .iter()
                .any(|ask| *ask == "tools_out" || *ask == "balance" || ask["rest"].is_object()),
            hands_back: step["hold"] == "operations",
            own_off: asked.iter().any(|ask| *ask == "own_locks_off"),
            tools: asked
                .iter()
                .position(|ask| *ask == "tools_out")
                .map(|at| at as u64),
            asks: asked.len() as u64,
            place: 0,
            relieves: does
                .iter()
                .filter_map(|deed| deed["release"].as_str())
                .map(str::to_owned)
                .collect(),
            reads_last: asked
                .last()
                .and_then(|ask| ask["reading"]["id"].as_str())
                .map(str::to_owned),
            optional: step["when"].is_object() || step["not_applicable"] == true,
            proves: asked
                .iter()
                .filter_map(|ask| {
                    let reading = &ask["reading"];
                    Some((
                        reading["id"].as_str()?.to_owned(),
                        reading["proves"].as_str()?.to_owned(),
                    ))
                })
                .collect(),
            safer: step["safer"] == true,
            energy: step["energy"].as_str().unwrap_or(by_section).to_owned(),
            lets_in: step["lets_in"].is_string(),
            by_vent: step["asks"]
                .as_array()
                .into_iter()
                .flatten()
                .flat_map(|ask| ask["zero"]["by_vent"].as_array().into_iter().flatten())
                .filter_map(|side| side.as_str().map(str::to_owned))
                .collect(),
            check: asks.iter().any(|ask| {
                ask.starts_with("{\"zero\"")
                    || ask.contains("\"proves\"")
                    || ask.starts_with("{\"vent\"")
            }),
        }
    }
}

/// Every step of a procedure by its id.
pub(super) fn steps(procedure: &Value, isolating: &BTreeSet<String>) -> BTreeMap<String, Step> {
    let mut steps = BTreeMap::new();
    let sections = procedure["sections"].as_array().into_iter().flatten();
    for section in sections {
        // The state a step without one stands in is that of its section (procedure format, by the section's place).
        let by_section = match section["energy"].as_str() {
            Some(energy) => energy,
            None => match section["id"].as_str().unwrap_or_default() {
                "identify" | "as-found" => "running",
                "make-safe" => "isolating",
                "test" => "test",
                "return" => "returning",
                _ => "zero",
            },
        };
        for step in section["steps"].as_array().into_iter().flatten() {
            let id = step["id"].as_str().unwrap_or_default().to_owned();
            let place = steps.len();
            let step = Step::read(step, by_section, isolating);
            steps.insert(id, Step { place, ..step });
        }
    }
    steps
}
