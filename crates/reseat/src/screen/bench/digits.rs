//! Big block digits, readable at two metres: what changes is bigger than what does not.

/// Rows of a digit.
pub const HEIGHT: u16 = 5;
/// Columns of a digit without the gap beside it.
pub const WIDTH: u16 = 6;

/// Five by three blocks, each two columns wide so that it looks square.
const SHAPES: [[&str; 5]; 10] = [
    ["###", "# #", "# #", "# #", "###"],
    ["  #", "  #", "  #", "  #", "  #"],
    ["###", "  #", "###", "#  ", "###"],
    ["###", "  #", "###", "  #", "###"],
    ["# #", "# #", "###", "  #", "  #"],
    ["###", "#  ", "###", "  #", "###"],
    ["###", "#  ", "###", "# #", "###"],
    ["###", "  #", "  #", "  #", "  #"],
    ["###", "# #", "###", "# #", "###"],
    ["###", "# #", "###", "  #", "###"],
];

/// The rows of a number in block digits; a character that is no digit takes its own column, at the bottom.
pub fn rows(number: &str) -> [String; 5] {
    std::array::from_fn(|row| {
        let mut line = String::new();
        for (at, letter) in number.chars().enumerate() {
            if at > 0 {
                line.push_str("  ");
            }
            match letter.to_digit(10) {
                Some(digit) => {
                    for block in SHAPES[digit as usize][row].chars() {
                        line.push_str(if block == '#' { "██" } else { "  " });
                    }
                }
                None => line.push_str(if row == 4 { "██" } else { "  " }),
            }
        }
        line
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_digit_is_its_own_shape_and_size() {
        let shapes: std::collections::BTreeSet<String> = (0..10)
            .map(|digit: u32| rows(&digit.to_string()).join("\n"))
            .collect();
        assert_eq!(shapes.len(), 10);
        for row in rows("12") {
            assert_eq!(row.chars().count(), 14);
        }
    }
}
