//! The record as plain text lines: failures and exceptions first, then every entry in order.

use reseat_record::rebuild::view::RecordLine;

/// What stands at the head of a printed record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// Unit, tag and serial.
    pub unit: String,
    /// Procedure number and revision.
    pub procedure: String,
    /// Site.
    pub site: String,
    /// State in words: signed, INCOMPLETE, open.
    pub state: String,
    /// The stream's id.
    pub record: String,
    /// Hash of the last entry.
    pub head: String,
    /// Whether it is a demo record.
    pub demo: bool,
}

/// The record as text, no line longer than `width` characters (40 at least).
pub fn text(page: &Page, lines: &[RecordLine], width: usize) -> String {
    let width = width.max(40);
    let mut out = String::new();
    let mut put = |line: &str| {
        for wrapped in wrap(line, width) {
            out.push_str(&wrapped);
            out.push('\n');
        }
    };
    if page.demo {
        put("DEMO RECORD: invented site, invented people.");
    }
    put(&format!("{}, {}", page.unit, page.site));
    put(&format!("{}, {}", page.procedure, page.state));
    put(&format!("record {}", page.record));
    put("");
    let first: Vec<&RecordLine> = lines.iter().filter(|line| line.first_page).collect();
    if first.is_empty() {
        put("No reading failed, nothing was struck, added or left out.");
    } else {
        put("Failed, struck, added or left out:");
        for line in first {
            put(&entry(line));
        }
    }
    put("");
    put("Every entry:");
    for line in lines {
        put(&entry(line));
    }
    put("");
    put(&format!("last hash {}", page.head));
    put(
        "What was recorded proves nothing about energy. Local rules, permits and licensed practice come first.",
    );
    out
}

fn entry(line: &RecordLine) -> String {
    format!(
        "{:>4} {} {}: {}",
        line.number, line.time, line.by, line.text
    )
}

/// Breaks a line at blanks; continuation lines are indented.
fn wrap(line: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut now = String::new();
    for word in line.split(' ') {
        let longer = now.chars().count() + 1 + word.chars().count();
        if !now.is_empty() && longer > width {
            lines.push(std::mem::take(&mut now));
            now.push_str("      ");
        } else if !now.is_empty() {
            now.push(' ');
        }
        now.push_str(word);
        while now.chars().count() > width {
            let rest: String = now.chars().skip(width).collect();
            let head: String = now.chars().take(width).collect();
            lines.push(head);
            now = rest;
        }
    }
    lines.push(now);
    lines
}

#[cfg(test)]
mod tests {
    use reseat_record::rebuild::view::Tone;

    use super::*;

    fn page() -> Page {
        Page {
            unit: "FV-3302 brine reject control valve, serial TP-0388".into(),
            procedure: "P-33-A rev C".into(),
            site: "Tern Point".into(),
            state: "signed".into(),
            record: "K7QF-3MZD-R2VA-9TXH".into(),
            head: "ab".repeat(32),
            demo: true,
        }
    }

    fn line(number: u64, text: &str, first_page: bool) -> RecordLine {
        RecordLine {
            number,
            time: "14:53".into(),
            by: "Rurik Odde".into(),
            text: text.into(),
            tone: Tone::Plain,
            first_page,
        }
    }

    #[test]
    fn a_failed_reading_stands_before_every_entry() {
        let lines = [
            line(7, "J1 2: 122 N·m WITHIN", false),
            line(8, "J1 6: 169 N·m HIGH by 39 N·m", true),
        ];
        let text = text(&page(), &lines, 80);
        let high = text.find("HIGH").unwrap();
        assert!(high < text.find("Every entry:").unwrap(), "{text}");
        assert_eq!(text.matches("HIGH").count(), 2, "{text}");
    }

    #[test]
    fn no_line_is_wider_than_asked_at_60_80_and_120() {
        let long = "a word and another ".repeat(20) + &"x".repeat(200);
        for width in [60, 80, 120] {
            let text = text(&page(), &[line(1, &long, true)], width);
            assert!(
                text.lines().all(|line| line.chars().count() <= width),
                "{text}"
            );
        }
    }
}
