//! A line that a person types into a command.

use super::Stop;

/// The line of standard input typed next, its end with it; `remedy` says what to do where it cannot be read.
pub(super) fn line(remedy: &str) -> Result<String, Stop> {
    let mut line = String::new();
    let read = std::io::stdin()
        .read_line(&mut line)
        .map_err(|error| Stop::words(format!("The answer could not be read: {error}."), remedy))?;
    if read == 0 {
        return Err(Stop::InputEnded);
    }
    Ok(line)
}
