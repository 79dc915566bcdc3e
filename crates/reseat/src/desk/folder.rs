//! Which folder is the home, and what is said when there is none.

use std::ffi::OsString;
use std::path::PathBuf;

use super::fault::HomeFault;

/// Name of the folder under the system's data folder.
const FOLDER: &str = "reseat";

/// What decides the home folder: read from the environment once, at the start.
#[derive(Debug, Clone, Default)]
pub struct Surroundings {
    /// `--home`.
    pub asked: Option<PathBuf>,
    /// `RESEAT_HOME`.
    pub variable: Option<OsString>,
    /// `HOME`, for the words about a relative one.
    pub user_home: Option<OsString>,
    /// Whether the program runs as root for somebody else (`SUDO_USER` is set).
    pub sudo: bool,
}

impl Surroundings {
    /// From the environment.
    pub fn read(asked: Option<PathBuf>) -> Self {
        let set = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty());
        Self {
            asked,
            variable: set("RESEAT_HOME"),
            user_home: set("HOME"),
            sudo: set("SUDO_USER").is_some() && is_root(),
        }
    }

    /// The home folder: `--home`, else `RESEAT_HOME`, else the user's data folder.
    ///
    /// # Errors
    /// [`HomeFault`] where a path is relative or none is known.
    pub fn home(&self) -> Result<PathBuf, HomeFault> {
        if let Some(asked) = &self.asked {
            return absolute(asked.clone(), "--home");
        }
        if let Some(variable) = &self.variable {
            return absolute(PathBuf::from(variable), "RESEAT_HOME");
        }
        Ok(data_folder()?.join("home"))
    }

    /// The folder of a demo site's home: `--at`, else below the user's data folder.
    ///
    /// # Errors
    /// As [`Surroundings::home`].
    pub fn demo(&self, at: Option<PathBuf>, site: &str) -> Result<PathBuf, HomeFault> {
        match at {
            Some(at) => absolute(at, "--at"),
            None => Ok(data_folder()?.join("demo").join(site)),
        }
    }

    /// A warning worth a line before anything else.
    pub fn warning(&self) -> Option<String> {
        (self.sudo && self.asked.is_none() && self.variable.is_none()).then(|| {
            "warning: started through sudo, so this is root's home and not yours; give --home DIR to use your own.".to_owned()
        })
    }
}

fn data_folder() -> Result<PathBuf, HomeFault> {
    let folders = directories::ProjectDirs::from("", "", FOLDER).ok_or(HomeFault::NoDataFolder)?;
    absolute(folders.data_dir().to_path_buf(), "HOME or XDG_DATA_HOME")
}

fn absolute(path: PathBuf, named: &'static str) -> Result<PathBuf, HomeFault> {
    if path.is_absolute() {
        Ok(path)
    } else {
        Err(HomeFault::Relative { path, named })
    }
}

#[cfg(unix)]
fn is_root() -> bool {
    // The owner of a process's own folder is its effective user; std has no other word for it without unsafe code.
    use std::os::unix::fs::MetadataExt;
    std::fs::metadata("/proc/self").is_ok_and(|process| process.uid() == 0)
}

#[cfg(not(unix))]
fn is_root() -> bool {
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_argument_wins_over_the_variable_and_relative_ones_are_refused() {
        let mut around = Surroundings {
            variable: Some("/var/home".into()),
            ..Surroundings::default()
        };
        assert_eq!(around.home().unwrap(), PathBuf::from("/var/home"));
        around.asked = Some("/asked".into());
        assert_eq!(around.home().unwrap(), PathBuf::from("/asked"));
        around.asked = Some("asked".into());
        assert_eq!(
            around.home().unwrap_err(),
            HomeFault::Relative {
                path: "asked".into(),
                named: "--home"
            }
        );
        around = Surroundings {
            variable: Some("here".into()),
            ..Surroundings::default()
        };
        assert_eq!(
            around.home().unwrap_err(),
            HomeFault::Relative {
                path: "here".into(),
                named: "RESEAT_HOME"
            }
        );
        assert!(around.demo(Some("x".into()), "tern-point").is_err());
    }

    #[test]
    fn sudo_is_warned_of_only_where_the_home_was_not_chosen() {
        let mut around = Surroundings {
            sudo: true,
            ..Surroundings::default()
        };
        assert!(around.warning().is_some());
        around.asked = Some("/asked".into());
        assert!(around.warning().is_none());
    }
}
