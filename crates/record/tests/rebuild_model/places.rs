//! Where random commands set out from: named steps of two procedures, and of every shipped one the work at a joint, the test with
//! energy in, and the return.

use std::sync::OnceLock;

use reseat_procedure::model::{Asked, EnergyState};
use reseat_procedure::{Choices, all_choices, builtin, read};

use crate::rebuild_site::Site;

/// One whose tests keep every isolating lock on, and one that is tested by plant energy.
const FV: &[u8] = include_bytes!("../../../../procedures/FV-3302.json");
const CO2: &[u8] = include_bytes!("../../../../procedures/PRV-CO2-04.json");
const NAMED: &[(&[u8], &str)] = &[
    (FV, "permit"),
    (FV, "lock-a5"),
    (FV, "mark-bonnet"),
    (FV, "tighten-j1"),
    (FV, "recheck-j1"),
    (FV, "stroke-five"),
    (FV, "hold-70"),
    (FV, "unlock-a4"),
    (CO2, "hang-lock-b-3-vn-1"),
    (CO2, "fit-main-spring"),
    (CO2, "count-wrenches-picks-rags"),
    (CO2, "test-unlock-b-1"),
    (CO2, "soap-inlet-joints-250"),
    (CO2, "test-end-own"),
    (CO2, "zero-after-test"),
    (CO2, "take-lock-b-2-v-c42"),
];

/// Work at a joint, a test, the return: of each shipped procedure.
const OF_EACH: usize = 3;

/// How many places there are.
pub(crate) const COUNT: usize = NAMED.len() + OF_EACH * 10;

/// The site of a place, its rebuild under work there.
pub(crate) fn site(place: usize) -> Site {
    static SITES: OnceLock<Vec<Site>> = OnceLock::new();
    let sites = SITES.get_or_init(|| {
        let named = NAMED
            .iter()
            .map(|(bytes, step)| stops(bytes, Choices::default(), &[(*step).to_owned()]));
        let shipped = builtin().iter().map(|(_, bytes)| {
            let procedure = read(bytes).unwrap();
            let choices = all_choices(&procedure).into_iter().next().unwrap();
            let stops_at = joint_test_return(&procedure, &choices);
            stops(bytes, choices, &stops_at)
        });
        let sites: Vec<Site> = named.chain(shipped).flatten().collect();
        assert_eq!(sites.len(), COUNT);
        sites
    });
    sites[place].clone()
}

fn stops(bytes: &'static [u8], choices: Choices, steps: &[String]) -> Vec<Site> {
    let mut site = Site::following(bytes, choices);
    // Short enough to run out on the way now and then.
    site.permit = if steps.len() == 1 {
        "4711, 5 h"
    } else {
        "4711, 12 h"
    };
    site.start();
    let at = steps.iter().map(|step| {
        site.until(step);
        site.clone()
    });
    at.collect()
}

/// The step that tightens a joint first, the one after energy was let in, and the first of the return after it.
fn joint_test_return(procedure: &reseat_procedure::Procedure, choices: &Choices) -> Vec<String> {
    let route = procedure.route(choices);
    let steps: Vec<_> = route
        .places
        .iter()
        .map(|place| procedure.step(*place))
        .collect();
    let joint = steps.iter().position(|step| {
        let tightens = |asked: &Asked| matches!(asked, Asked::Tighten { .. });
        step.energy == EnergyState::Zero && step.asks.iter().any(tightens)
    });
    let joint = joint.unwrap();
    let after = |from: usize, wanted: &dyn Fn(usize) -> bool| {
        (from..steps.len()).find(|at| wanted(*at)).unwrap()
    };
    let let_in = after(joint, &|at| steps[at].lets_in.is_some());
    let test = after(let_in + 1, &|at| steps[at].energy == EnergyState::Test);
    let back = after(test, &|at| steps[at].energy == EnergyState::Returning);
    [joint, test, back].map(|at| steps[at].id.clone()).into()
}
