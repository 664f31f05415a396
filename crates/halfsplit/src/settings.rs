//! What is remembered between calls: the units. One short text file in the place the platform has for it.

use crate::failure::Failure;
use quantity::UnitSystem;
use std::path::PathBuf;

/// The file, if the environment says where such files belong.
pub(crate) fn file() -> Option<PathBuf> {
    let at = |name: &str| {
        std::env::var_os(name)
            .filter(|value| !value.is_empty())
            .map(PathBuf::from)
    };
    let folder = at("XDG_CONFIG_HOME").or_else(|| match std::env::consts::OS {
        "windows" => at("APPDATA"),
        "macos" => at("HOME").map(|home| home.join("Library").join("Application Support")),
        _ => at("HOME").map(|home| home.join(".config")),
    })?;
    Some(folder.join("halfsplit").join("settings.txt"))
}

/// The units remembered, and a warning if the file cannot be understood. It is never in the way of an answer.
pub(crate) fn units() -> (UnitSystem, Option<String>) {
    let Some(path) = file() else {
        return Default::default();
    };
    let Ok(text) = std::fs::read_to_string(&path) else {
        let warning = path
            .exists()
            .then(|| format!("`{}` cannot be read; using trade units", path.display()));
        return (UnitSystem::Trade, warning);
    };
    let wanted = text
        .lines()
        .find_map(|line| line.trim().strip_prefix("units")?.trim_start().strip_prefix('='));
    match wanted.map(|name| name.trim().parse()) {
        Some(Ok(system)) => (system, None),
        _ => (
            UnitSystem::Trade,
            Some(format!(
                "`{}` does not say `units = trade`, `metric` or `si`; using trade units",
                path.display()
            )),
        ),
    }
}

/// Remembers the units; returns where.
pub(crate) fn remember(system: UnitSystem) -> Result<PathBuf, Failure> {
    let path = file()
        .ok_or_else(|| Failure::could_not("there is no place to remember settings: HOME is not set", None))?;
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(|error| {
            Failure::could_not(format!("`{}` cannot be made: {error}", folder.display()), None)
        })?;
    }
    crate::files::write(&path, format!("units = {}\n", system.name()))?;
    Ok(path)
}
