//! The bench of a test: its readings as they were taken, and what repeats of one value tell.

use reseat_record::rebuild::view::{DecayView, RepeatsView};
use reseat_record::rebuild::{Ask, Bench, Rebuild, Wants};

/// The readings of the test with their time, and below them what is worked out from repeats.
pub fn lines(rebuild: &Rebuild) -> Vec<String> {
    let readings = rebuild
        .test_readings()
        .into_iter()
        .map(|(time, label, value)| format!("{time} {label}: {value}"));
    let told = rebuild.repeats().into_iter().map(|view| view.words());
    readings.chain(told).collect()
}

/// Repeats of the value that is asked for, from the first reading on.
pub fn repeats(rebuild: &Rebuild, bench: &Bench) -> Option<RepeatsView> {
    let Bench::Window(thing) = bench else {
        return None;
    };
    rebuild
        .repeats_of(thing)
        .filter(|view| !view.readings.is_empty())
}

/// The hold under way: while it is waited for, and while what follows it is read or worked out.
pub fn decay(rebuild: &Rebuild, ask: &Ask) -> Option<DecayView> {
    let drawn = match ask.bench {
        Bench::Window(_) => true,
        Bench::Test => matches!(ask.wants, Wants::Wait { .. }),
        _ => false,
    };
    let step = ask.step.as_ref().filter(|_| drawn)?;
    rebuild.decay(&step.id)
}
