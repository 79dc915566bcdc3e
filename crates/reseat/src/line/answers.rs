//! Answers in words where an offer is chosen: the number of the offer they name, or the offers told again.

use reseat_record::rebuild::Ask;

use super::talk::Refused;

/// The number of the offer that a text names: by its number, by all its words, or by those before its first comma or colon.
///
/// # Errors
/// `not-an-offer`: words of no offer, or of several. Where instruments are offered a name goes through, so that the answer is
/// why that one may not be used.
pub(super) fn choice(ask: &Ask, labels: &[String], text: &str) -> Result<String, Refused> {
    // Digits are always the number of an offer: fasteners are offered by their numbers too.
    if text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Ok(text.to_owned());
    }
    if let Some(number) = named(labels, text) {
        return Ok(number.to_string());
    }
    if !ask.offered.is_empty() {
        return Ok(text.to_owned());
    }
    let offers: Vec<String> = (1..)
        .zip(labels)
        .map(|(number, label)| format!("{number} {label}"))
        .collect();
    Err(none_of(text, &offers))
}

/// The same at a fastener, where a bare number says that it went as it must and the offers are numbered `01`, `02`.
///
/// # Errors
/// `not-an-offer`: words of no offer.
pub(super) fn fastener(
    next: u32,
    says: &str,
    instead: &[&str],
    text: &str,
) -> Result<String, Refused> {
    if text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Ok(text.to_owned());
    }
    let mut others = (1..).zip(instead);
    if let Some((number, _)) = others.find(|(_, label)| label.eq_ignore_ascii_case(text)) {
        return Ok(format!("0{number}"));
    }
    let others = (1..).zip(instead);
    let others = others.map(|(number, label)| format!("0{number} {label}"));
    let offers: Vec<String> = std::iter::once(format!("{next} {says}"))
        .chain(others)
        .collect();
    Err(none_of(text, &offers))
}

/// The number of the offer with these words, or with these before its first comma, colon or semicolon.
fn named(labels: &[String], text: &str) -> Option<u32> {
    let head = |label: &str| {
        let head = label.split([',', ':', ';']).next().unwrap_or_default();
        head.trim().eq_ignore_ascii_case(text)
    };
    only(labels, |label| label.eq_ignore_ascii_case(text)).or_else(|| only(labels, head))
}

/// The number of the one label that fits; none where several do.
fn only(labels: &[String], fits: impl Fn(&str) -> bool) -> Option<u32> {
    let mut fitting = (1..).zip(labels).filter(|(_, label)| fits(label));
    let first = fitting.next()?;
    fitting.next().is_none().then_some(first.0)
}

fn none_of(text: &str, offers: &[String]) -> Refused {
    Refused::new(
        "not-an-offer",
        format!("\"{text}\" is none of the answers here, or fits several."),
        format!(
            "Type one by its number or its words: {}.",
            offers.join("; ")
        ),
    )
}

#[cfg(test)]
mod tests {
    use super::{fastener, named};

    #[test]
    fn an_offer_is_named_by_all_its_words_or_those_before_its_first_mark() {
        let conditions = ["zinc-plated, dry", "plain steel, dry", "oiled"].map(str::to_owned);
        for (text, number) in [
            ("zinc-plated", Some(1)),
            ("Plain steel, dry", Some(2)),
            ("oiled", Some(3)),
            ("dry", None),
            ("oil", None),
            ("", None),
        ] {
            assert_eq!(named(&conditions, text), number, "{text}");
        }
        // All the words of one go before the first words of another, and words of two name none.
        let feeler = ["enters", "enters, with force", "out, clean", "out, bent"].map(str::to_owned);
        assert_eq!(named(&feeler, "enters"), Some(1));
        assert_eq!(named(&feeler, "out"), None);
    }

    #[test]
    fn at_a_fastener_only_whole_words_count() {
        let instead = ["clicked without moving", "did not click"];
        let answer = |text: &str| fastener(3, "clicked", &instead, text);
        assert_eq!(answer("did not click"), Ok("02".to_owned()));
        assert_eq!(answer("3"), Ok("3".to_owned()));
        let told = answer("clicked twice").unwrap_err().line();
        assert!(
            told.contains("3 clicked; 01 clicked without moving; 02 did not click"),
            "{told}"
        );
    }
}
