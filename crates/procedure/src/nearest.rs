//! The name an author probably meant.

/// The candidate nearest to `wrong`, if one is near enough to be worth offering: one slip, and one more for every third letter.
pub(crate) fn nearest<'a>(
    wrong: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let wrong: Vec<char> = wrong
        .chars()
        .take(LONGEST)
        .flat_map(char::to_lowercase)
        .collect();
    let most = (wrong.len() / 3).max(1) + 1;
    candidates
        .into_iter()
        .take(MOST_CANDIDATES)
        .map(|candidate| (distance(&wrong, candidate), candidate))
        // A name of which no letter is left is another name: D is no slip of A.
        .filter(|(distance, name)| *distance <= most && *distance < wrong.len().max(name.len()))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// Most names looked at, so that a text of thousands of names and slips is answered soon.
const MOST_CANDIDATES: usize = 2_000;

/// Names longer than this are compared by their beginning, so that a huge wrong name costs nothing.
const LONGEST: usize = 64;

/// Letters to insert, delete, change or swap with their neighbour (optimal string alignment), case ignored.
fn distance(wrong: &[char], candidate: &str) -> usize {
    let right: Vec<char> = candidate
        .chars()
        .take(LONGEST)
        .flat_map(char::to_lowercase)
        .collect();
    let mut before: Vec<usize> = vec![0; right.len() + 1];
    let mut above: Vec<usize> = (0..=right.len()).collect();
    for (row, letter) in wrong.iter().enumerate() {
        let mut line = vec![row + 1; right.len() + 1];
        for (column, other) in right.iter().enumerate() {
            let mut least = (above[column] + usize::from(letter != other))
                .min(above[column + 1] + 1)
                .min(line[column] + 1);
            if row > 0 && column > 0 && *letter == right[column - 1] && wrong[row - 1] == *other {
                least = least.min(before[column - 1] + 1);
            }
            line[column + 1] = least;
        }
        before = above;
        above = line;
    }
    above[right.len()]
}

/// The end of a remedy sentence: the nearest name, or all of them where none is near.
pub(crate) fn offer<'a>(
    wrong: &str,
    candidates: impl IntoIterator<Item = &'a str> + Clone,
) -> String {
    if let Some(name) = nearest(wrong, candidates.clone()) {
        return format!("Did you mean \u{201c}{name}\u{201d}?");
    }
    let all: Vec<&str> = candidates.into_iter().collect();
    if all.is_empty() {
        "Nothing of this kind is declared; declare it first.".to_owned()
    } else if all.len() > 24 {
        format!("Write one of the {} declared.", all.len())
    } else {
        format!("Write one of: {}.", all.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_recognised_and_a_stranger_is_not() {
        let names = ["window", "warnings", "when", "wrenches"];
        assert_eq!(nearest("windwo", names), Some("window"));
        assert_eq!(nearest("Window", names), Some("window"));
        assert_eq!(nearest("wrenchs", names), Some("wrenches"));
        assert_eq!(nearest("torque", names), None);
        assert_eq!(nearest("D", ["A", "B"]), None);
        assert_eq!(nearest("J1", ["J2", "J10"]), Some("J2"));
    }

    #[test]
    fn distance_counts_one_for_each_slip() {
        let letters = |text: &str| text.chars().collect::<Vec<_>>();
        assert_eq!(distance(&letters("abcd"), "abcd"), 0);
        assert_eq!(distance(&letters("abdc"), "abcd"), 1);
        assert_eq!(distance(&letters("abd"), "abcd"), 1);
        assert_eq!(distance(&letters(""), "abc"), 3);
    }
}
