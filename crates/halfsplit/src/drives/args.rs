//! Arguments of the commands on recorded drives.

use clap::{Args, Subcommand};
use std::path::PathBuf;

/// What to do with a recording.
#[derive(Debug, Args)]
pub(crate) struct Drive {
    #[command(subcommand)]
    pub(crate) what: What,
}

#[derive(Debug, Subcommand)]
pub(crate) enum What {
    /// What is in a recording: its columns, what each is taken for and why it may be wrong
    Show(Recorded),
    /// What the columns of a recording are, confirmed once and remembered for every recording with the same heads; without a file, the
    /// sources that are remembered
    #[command(after_help = "\
Examples:
  halfsplit drive columns road-test.csv --column \"channel 7 = engine speed, rpm\" --confirm
  halfsplit drive columns
  halfsplit drive columns --forget 3f2a90c1d4")]
    Columns(Columns),
    /// Driving cycles and warm-up cycles, by the regulation's definitions
    Trips(Trips),
    /// What a technician looks for: sensors with the key on, cranking, charging, warming up, boost, gaps
    Features(Recorded),
    /// Draws the signals over time as SVG, with what was found; two drives beside each other, for instance before and after a repair
    #[command(after_help = "\
Examples:
  halfsplit drive draw before.csv --out before.svg
  halfsplit drive draw before.csv --beside after.csv --from \"60 s\" --to \"3 min\" --out both.svg")]
    Draw(Draw),
    /// Makes up a drive: a simulated vehicle with a circuit's faults over a published speed cycle; marked as simulated everywhere
    #[command(after_help = "\
Examples:
  halfsplit drive make vacuum-wastegate --fault \"source-line/off\" --out drive.csv
  halfsplit drive make starter-circuit --frames --altitude \"1600 m\" --out drive.log")]
    Make(Make),
}

/// A recording to be drawn.
#[derive(Debug, Args)]
pub(crate) struct Draw {
    #[command(flatten)]
    pub(crate) recorded: Recorded,
    /// Another recording, drawn beside it on the same scales
    #[arg(long, value_name = "FILE")]
    pub(crate) beside: Option<PathBuf>,
    /// From this time of the drive on
    #[arg(long, value_name = "TIME")]
    pub(crate) from: Option<String>,
    /// To this time
    #[arg(long, value_name = "TIME")]
    pub(crate) to: Option<String>,
    /// Where to; without it, standard output
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

/// A drive to be made up.
#[derive(Debug, Args)]
pub(crate) struct Make {
    /// A shipped circuit, or the path of one
    pub(crate) circuit: String,
    /// PART/FAULT or PART/FAULT=SEVERITY; may be given again
    #[arg(long = "fault", value_name = "PART/FAULT")]
    pub(crate) faults: Vec<String>,
    /// Height above sea level
    #[arg(long, value_name = "HEIGHT")]
    pub(crate) altitude: Option<String>,
    /// Air around, and the engine before the start
    #[arg(long, value_name = "TEMPERATURE", default_value = "20 °C")]
    pub(crate) outside: String,
    /// The same seed, the same drive
    #[arg(long, default_value_t = 1)]
    pub(crate) seed: u32,
    /// As a text log of CAN frames instead of a table
    #[arg(long)]
    pub(crate) frames: bool,
    /// Where to; without it, standard output
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

/// A recording.
#[derive(Debug, Args)]
pub(crate) struct Recorded {
    /// A recording with column names and rows of figures (CSV of any usual shape), or a text log of CAN frames
    pub(crate) file: PathBuf,
    /// What a column is, where it was not recognised: "COLUMN = SIGNAL", "COLUMN = SIGNAL, UNIT" or "COLUMN = none"
    #[arg(long = "column", value_name = "COLUMN = SIGNAL")]
    pub(crate) columns: Vec<String>,
}

/// A recording whose columns are looked at, confirmed or forgotten.
#[derive(Debug, Args)]
pub(crate) struct Columns {
    /// A recording; without it, the sources that are remembered
    pub(crate) file: Option<PathBuf>,
    /// What a column is: "COLUMN = SIGNAL", "COLUMN = SIGNAL, UNIT" or "COLUMN = none"
    #[arg(long = "column", value_name = "COLUMN = SIGNAL", requires = "file")]
    pub(crate) corrected: Vec<String>,
    /// They are right: remember them for every recording with the same heads
    #[arg(long, requires = "file")]
    pub(crate) confirm: bool,
    /// Forget a source
    #[arg(long, value_name = "SOURCE", conflicts_with = "file")]
    pub(crate) forget: Option<String>,
}

/// A recording, and what counts as warm.
#[derive(Debug, Args)]
pub(crate) struct Trips {
    #[command(flatten)]
    pub(crate) recorded: Recorded,
    /// Coolant of a warm engine, where another rule than the US one counts (160 °F)
    #[arg(long, value_name = "TEMPERATURE")]
    pub(crate) warm: Option<String>,
    /// Rise of the coolant from the start, where another rule than the US one counts (22.2 K)
    #[arg(long, value_name = "KELVIN")]
    pub(crate) rise: Option<String>,
}
