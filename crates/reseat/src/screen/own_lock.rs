//! A worker's own lock on the box, on or off, also of one who is not at the keys: his own comes off by himself, with his PIN.

use reseat_record::log::Id;
use reseat_record::rebuild::Command;

use super::deeds::Signed;
use super::form::Form;

/// What is said of the lock; the first hangs it.
const SAYS: [&str; 2] = ["it is on the box now", "he took it off himself"];

/// The form; its choices name the people in their order.
pub(super) fn form(names: Vec<String>) -> Form {
    Form::new("A worker's own lock", "write it")
        .pick(
            "owner",
            "whose lock",
            names,
            "Nobody acts at the unit without one.",
        )
        .pick(
            "says",
            "his lock",
            SAYS.map(str::to_owned).to_vec(),
            "Off only by its owner, with his PIN. He is not here? F6, a lock came off.",
        )
        .text(
            "number",
            "its number",
            24,
            "As on the lock. Off: leave it empty.",
        )
}

/// The command of the form, and who proves himself for it.
///
/// # Errors
/// Nobody or nothing is picked; what to do.
pub(super) fn command(
    form: &Form,
    people: &[(Id, String)],
) -> Result<Signed, (String, &'static str)> {
    let owner = form
        .picked("owner")
        .and_then(|at| people.get(at))
        .cloned()
        .ok_or((
            "Nobody is picked.".to_owned(),
            "Pick the worker whose lock it is.",
        ))?;
    let off = form.picked("says") == Some(1);
    let number = form.typed("number").to_owned();
    let command = Command::OwnLock {
        owner: owner.0,
        number: (!off).then_some(number),
    };
    Ok((command, off.then_some(owner)))
}
