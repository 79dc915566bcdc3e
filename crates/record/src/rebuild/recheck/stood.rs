//! What an entry says of the state it was written in: what was off, what was seen and said before, what was valid, what held
//! the work back.

use super::answers::differs;
use crate::log::{Entry, Stamp};
use crate::rebuild::ask::Point;
use crate::rebuild::body::{self, Body, PermitSaid};
use crate::rebuild::decide_measured::NOTHING_CAME;
use crate::rebuild::decide_step::pieces_of;
use crate::rebuild::late::as_of;
use crate::rebuild::state::Rebuild;
use crate::rebuild::time::clock_face;
use crate::rebuild::zero::Zero;
use crate::refusal::{Refusal, Work};
use reseat_procedure::model::{Asked, Verify};

/// What an entry says otherwise than the entries before it leave it, in words; none where it is right.
pub(super) fn fault(before: &Rebuild, entry: &Entry, body: &Body) -> Option<String> {
    let stamp = stamp_of(entry);
    if let Some(fault) = held_back(before, entry, body, &stamp) {
        return Some(fault);
    }
    match body {
        Body::Counted(body) => counted(before, body),
        Body::Disposed(body) => disposed(before, body),
        Body::Observed(body) => observed(before, body),
        Body::Vented(body) => vented(before, body),
        Body::VerifiedAnswer(body) => verified_answer(before, body),
        Body::Verified(body) => verified(before, body),
        Body::Released(body) if body.gate && !before.sides_proved() => {
            Some("It releases zero, and a side was not read.".to_owned())
        }
        Body::SignedOff(body) => {
            let open = before.open_items_but(&body.step);
            let first = open.first()?;
            Some(format!(
                "It was signed while this was open: {}.",
                first.text
            ))
        }
        Body::Wrote(body) => {
            let Some(Asked::Text { permit: what, .. }) = before.asked(&body.step, body.ask) else {
                return None;
            };
            match (what, &body.permit) {
                (Some(what), Some(said)) => permit(what, &body.text, said, &stamp),
                (None, None) => None,
                (Some(what), None) => Some(format!("It is a {what} and gives no number and end.")),
                (None, Some(_)) => Some("It gives a permit, and none was asked.".to_owned()),
            }
        }
        Body::Permit(body) => permit(&body.permit.what, &body.text, &body.permit, &stamp),
        Body::PermitSeen(body) => {
            let number = &before.permits.get(&body.what)?.number;
            differs("the number of the paper", &body.number, number)
        }
        _ => None,
    }
}

/// As it was decided by: what the program brought to the entry.
fn stamp_of(entry: &Entry) -> Stamp {
    Stamp {
        home: entry.home,
        by: entry.by,
        utc: entry.utc.clone(),
        offset: entry.offset.clone(),
        clock: entry.clock,
        acted: entry.acted.clone(),
        demo: entry.demo,
    }
}

/// An act of the step due, entered while a lock, zero, a look again or a permit held it back. Late entries say what was done,
/// and what does not apply is no act.
fn held_back(before: &Rebuild, entry: &Entry, body: &Body, stamp: &Stamp) -> Option<String> {
    if stamp.acted.is_some() || matches!(body, Body::NotApplicable(_)) || !before.is_act(body) {
        return None;
    }
    let due = before.due()?;
    let step = entry.body.get("step").and_then(|step| step.as_str())?;
    let line = &before.lines[due];
    if line.id != step {
        let (number, text) = (before.number(due), before.text_of(line));
        return Some(format!(
            "It was done while another step was due: {number} {text}"
        ));
    }
    let Some(proof) = before.proof_due(due, stamp) else {
        return energy_let_in(before, due);
    };
    Some(match proof {
        Point::LockBack(lock) if lock == "own" => {
            "It was done without an own lock on the box.".to_owned()
        }
        Point::LockBack(lock) => format!("It was done while the lock of {lock} was off."),
        Point::Permit(what) => {
            let permit = before.permits.get(&what)?;
            format!(
                "It was done after {what} {} had ended, {}.",
                permit.number,
                permit.end_words(stamp)
            )
        }
        Point::PermitSeen(what) => {
            format!("It was done, and nobody had said that the {what} was still valid.")
        }
        Point::LookAgain => "It was done before anybody looked again at the vents.".to_owned(),
        _ => {
            let lapsed = before.lapsed(&stamp.utc, stamp.clock);
            let why = match (before.zero(stamp), lapsed.filter(|_| before.sides_proved())) {
                (Zero::LetIn(words), _) => format!("{words} was let in"),
                (_, Some(why)) => why.words().to_owned(),
                (Zero::Void(why), None) => why.to_owned(),
                _ => "a side was not read".to_owned(),
            };
            format!("It was done while zero did not stand: {why}.")
        }
    })
}

/// An act that lets plant energy in, entered before it was clear that nothing and nobody is in its way.
fn energy_let_in(before: &Rebuild, due: usize) -> Option<String> {
    let refusal = before.not_cleared(&before.clear_due(due)?)?;
    Some(format!("It was done too early. {}", refusal.sentence()))
}

fn counted(before: &Rebuild, body: &body::Counted) -> Option<String> {
    match before.asked(&body.step, body.ask)? {
        Asked::Dispositions => {
            let pieces = pieces_of(&before.single_use_off());
            let expected = body.expected.unwrap_or_default();
            if let Some(fault) = differs("the pieces that came off", &expected, &pieces) {
                return Some(fault);
            }
        }
        Asked::Balance => {
            if let Some(first) = before.unbalanced().first() {
                return Some(format!("Nothing is left over, it says, and {first}."));
            }
        }
        _ => {}
    }
    let wrong = body
        .expected
        .is_some_and(|expected| expected != body.counted);
    let finds = wrong && before.tries_at(&body.step, body.ask) > 0;
    differs(
        "whether it opens a finding",
        &body.finding.is_some(),
        &finds,
    )
}

fn disposed(before: &Rebuild, body: &body::Disposed) -> Option<String> {
    let named = |parts: &[String]| parts.join(", ");
    let parts: Vec<String> = match before.asked(&body.step, body.ask)? {
        Asked::Dispositions if body.line == 0 => {
            let off = before.single_use_off();
            let pieces = pieces_of(&off);
            let counted = body.counted.unwrap_or_default();
            if let Some(fault) = differs("the single-use pieces discarded", &counted, &pieces) {
                return Some(fault);
            }
            off.into_iter().map(|(part, _)| part.to_owned()).collect()
        }
        Asked::Dispositions => {
            let at = (body.line as usize).checked_sub(1)?;
            before.reusable_off().into_iter().skip(at).take(1).collect()
        }
        Asked::Decisions => before.to_decide().into_iter().take(1).collect(),
        _ => return None,
    };
    differs("its parts", &named(&body.parts), &named(&parts))
}

fn observed(before: &Rebuild, body: &body::Observed) -> Option<String> {
    let (question, answers, right) = before.observed();
    let recorded = answers.get(right)?;
    if let Some(fault) = differs("what was asked", &body.question, &question)
        .or_else(|| differs("what the record said", &body.recorded, recorded))
    {
        return Some(fault);
    }
    let like = answers.iter().filter(|answer| **answer == body.answer);
    match like.count() {
        0 => Some(format!("\"{}\" was not among its answers.", body.answer)),
        1 => differs(
            "whether they agree",
            &body.agrees,
            &(body.answer == *recorded),
        ),
        // Two of them in the same words: the entry does not say which was meant.
        _ => None,
    }
    .or_else(|| {
        differs(
            "whether it opens a finding",
            &body.finding.is_some(),
            &!body.agrees,
        )
    })
}

/// What came and whether it is clear is judged by the entry alone; here the side, and the finding after a second try.
fn vented(before: &Rebuild, body: &body::Vented) -> Option<String> {
    let Some(ask) = body.ask else {
        let (clear, finds) = before.gate_vent(&body.side, &body.came);
        return differs("whether it lets zero stand", &body.clear, &clear).or_else(|| {
            differs(
                "whether it opens a finding",
                &body.finding.is_some(),
                &finds,
            )
        });
    };
    let Asked::Vent { side } = before.asked(&body.step, ask)? else {
        return None;
    };
    let finds = body.came == NOTHING_CAME && before.tries_at(&body.step, ask) > 0;
    differs("its side", &body.side, side).or_else(|| {
        differs(
            "whether it opens a finding",
            &body.finding.is_some(),
            &finds,
        )
    })
}

fn verified_answer(before: &Rebuild, body: &body::VerifiedAnswer) -> Option<String> {
    let line = before.line(&body.step)?;
    let first = line.asks.get(body.ask as usize)?.last.as_deref()?;
    if body.agrees != (first == body.answer) {
        let word = if body.agrees { "agrees" } else { "differs" };
        return Some(format!(
            "The verifier's \"{}\" {word}, it says; the work says \"{first}\".",
            body.answer
        ));
    }
    differs(
        "whether it opens a finding",
        &body.finding.is_some(),
        &!body.agrees,
    )
}

fn verified(before: &Rebuild, body: &body::Verified) -> Option<String> {
    let line = before.line(&body.step)?;
    let how = match before.step_of(line)?.verify? {
        Verify::Independent => "independent",
        Verify::Concurrent => "concurrent",
    };
    let listed = |entries: &[u64]| {
        let entries: Vec<String> = entries.iter().map(ToString::to_string).collect();
        entries.join(", ")
    };
    let given: Vec<u64> = line
        .verify_asked
        .values()
        .map(|(entry, _)| *entry)
        .collect();
    differs("how it was verified", &body.how, how).or_else(|| {
        differs(
            "the verifier's own answers",
            &listed(&body.answers),
            &listed(&given),
        )
    })
}

/// Number and end of a permit or gas test, worked out from what was written.
fn permit(what: &str, text: &str, said: &PermitSaid, stamp: &Stamp) -> Option<String> {
    let stamp = as_of(stamp);
    let now = match Rebuild::permit_said(what, text, &stamp) {
        Ok(now) => now,
        Err(Refusal::Work(Work::PermitPast { .. })) => {
            return Some("It had ended when it was entered.".to_owned());
        }
        Err(_) => return Some(format!("\"{text}\" gives no number and end of a {what}.")),
    };
    let words = |said: &PermitSaid| {
        let ends = said.ends.as_ref().map_or_else(
            || "an end not known".to_owned(),
            |ends| format!("{} ({ends})", clock_face(ends, &stamp.offset)),
        );
        format!("{} {}, {ends}", said.what, said.number)
    };
    differs("what it says of the paper", &words(said), &words(&now))
}
