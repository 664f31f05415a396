//! The arguments and their help.

use clap::{Args, Parser, Subcommand};
use quantity::UnitSystem;
use std::path::PathBuf;
use std::time::Duration;

/// From a trouble code to a proven repair, one check at a time.
#[derive(Debug, Parser)]
#[command(
    name = "halfsplit",
    version,
    about,
    after_help = START,
    max_term_width = 100,
    disable_help_subcommand = true
)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
    #[command(flatten)]
    pub(crate) manner: Manner,
}

/// How to answer.
#[derive(Debug, Args)]
pub(crate) struct Manner {
    /// Answer in JSON
    #[arg(long, global = true, help_heading = "How to answer")]
    pub(crate) json: bool,
    /// Units for this answer: trade (vacuum in inHg), metric (kPa) or si
    #[arg(long, global = true, value_name = "UNITS", help_heading = "How to answer")]
    pub(crate) units: Option<UnitSystem>,
    /// Plain characters only, for terminals without line drawing
    #[arg(long, global = true, help_heading = "How to answer")]
    pub(crate) ascii: bool,
}

const START: &str = "\
Start with what you have:
  halfsplit P0299                              a code: the circuits it can come from
  halfsplit demo                               an invented job from complaint to proven cause
  halfsplit suspects vacuum-wastegate          what to suspect first, and the first check

Exit codes: 0 done, 1 could not do it, 2 bad input.
The vehicle maker's service information, local law and licensed practice come first.";

const DRIVE: &str = "\
Examples:
  halfsplit drive show road-test.csv
  halfsplit drive trips road-test.csv --json
  halfsplit drive features road-test.csv --column \"channel 7 = engine speed, rpm\"";

const FLEET: &str = "\
Examples:
  halfsplit fleet screen recordings --picture drifting.svg
  halfsplit fleet screen /shared/recordings --cluster 10.0.0.5:50050";

const CIRCUIT: &str = "A shipped circuit's name, or a circuit file";

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// An invented job from complaint to proven cause, without questions
    #[command(after_help = "Example:\n  halfsplit demo --out job.svg")]
    Demo(Demo),
    /// The shipped circuits, or those that a code or a few words lead to
    #[command(
        after_help = "Examples:\n  halfsplit circuits\n  halfsplit circuits P0299\n  halfsplit circuits no power uphill\n  halfsplit circuits --medium air --symptom \"hard pedal\"\n  halfsplit circuits --check"
    )]
    Circuits(Circuits),
    /// What a circuit is made of: parts, faults, conditions, checks
    #[command(
        after_help = "Examples:\n  halfsplit describe vacuum-wastegate\n  halfsplit describe my-circuit.toml --json\n  halfsplit describe my-circuit.toml --review --drawing shows.svg"
    )]
    Describe(Describe),
    /// What a check should read, healthy or with faults
    #[command(after_help = "\
Examples:
  halfsplit expect vacuum-wastegate --check deadhead:valve.source@idle --altitude \"1600 m\"
  halfsplit expect vacuum-variable-geometry --check tee:valve.source@idle --fault \"source-hose/blocked=0.5 mm\"")]
    Expect(Expect),
    /// What can be wrong, how likely, why, and the next check
    #[command(after_help = SUSPECTS)]
    Suspects(Suspects),
    /// A hidden cause to find: by yourself, or many jobs at once by several ways of working
    #[command(after_help = "\
Examples:
  halfsplit practice vacuum-wastegate
  halfsplit practice vacuum-wastegate --seed 7 --jobs 200
  halfsplit practice --all --jobs 2000 --json")]
    Practice(Practice),
    /// The whole plan until a proven repair, as steps, with what it costs
    #[command(after_help = PLAN)]
    Plan(Plan),
    /// The circuit drawn, with readings and suspects on it
    #[command(after_help = "\
Examples:
  halfsplit draw vacuum-wastegate
  halfsplit draw vacuum-wastegate --readings job.toml --out job.svg")]
    Draw(Draw),
    /// The order of tests and repairs that costs least, for a table of causes
    #[command(after_help = SEQUENCE)]
    Sequence(Sequence),
    /// A job from intake to closing, everything kept
    #[command(after_help = JOB)]
    Job(crate::jobs::args::Job),
    /// A recorded drive: what is in it, the trips it holds, what stands out
    #[command(after_help = DRIVE)]
    Drive(crate::drives::args::Drive),
    /// Many recordings of many vehicles screened for what drifts; the fleet program does it, which is built apart
    #[command(after_help = FLEET, disable_help_flag = true)]
    Fleet(crate::fleet::Fleet),
    /// The bay screen: the shop's jobs in a browser, on this machine or on its network
    #[command(after_help = SERVE)]
    Serve(crate::serve::Serve),
    /// What closed jobs have taught: causes, lives of parts, minutes of checks, each with its uncertainty
    #[command(after_help = LEARNT)]
    Learnt(Learnt),
    /// What the shop charges, where it stands, and how right its own instruments are; kept with its jobs
    #[command(after_help = SHOP)]
    Shop(crate::jobs::offer::args::Charges),
    /// The units to use from now on, or which are used now
    #[command(after_help = "Examples:\n  halfsplit units\n  halfsplit units metric")]
    Units {
        /// trade (vacuum in inHg, the rest metric), metric (kPa) or si
        system: Option<UnitSystem>,
    },
    /// Writes what a shell needs to complete commands
    #[command(
        after_help = "Example:\n  halfsplit completions bash > ~/.local/share/bash-completion/completions/halfsplit"
    )]
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Writes the manual page
    #[command(after_help = "Example:\n  halfsplit man > halfsplit.1")]
    Man,
    /// A code typed alone.
    #[command(external_subcommand)]
    Other(Vec<String>),
}

const JOB: &str = "\
A job from door to door:
  halfsplit job new --circuit vacuum-wastegate --code P0299 --vehicle \"white van\" --complaint \"no power uphill\"
  halfsplit job next 1                         suspects, the next check, its cautions
  halfsplit job read 1 \"tee:valve.source@idle = 9 inHg\"
  halfsplit job prove-cause 1
  halfsplit job quote 1                        ways to repair with what each costs, now and over its life
  halfsplit job repair 1 source-line --behind \"oil from the cover seal, renewed\"
  halfsplit job prove 1                        the checks that prove the repair
  halfsplit job close 1
  halfsplit job work 1                         the same, question by question";

const SERVE: &str = "\
Examples:
  halfsplit serve                              for this machine alone, and its browser opens
  halfsplit serve --listen 0.0.0.0:8443        for paired phones and tablets of the shop's network too
  halfsplit serve --listen 127.0.0.1:9000 --no-browser";

const SHOP: &str = "\
Examples:
  halfsplit shop
  halfsplit shop --currency EUR --rate 95 --tax 19
  halfsplit shop --instrument \"vacuum gauge: old one = class 1.6\"
  halfsplit shop --instrument \"voltmeter: yellow one = 0.5 % + 2 digits\" --drop-instrument \"old one\"
Accuracy: `class 1.6 of 4 bar` (EN 837-1) or `grade B of 60 psi` (ASME B40.100) for a dial, percent of the reading and
digits for a meter, an amount for a rule. A reading then says what it was taken with: halfsplit job read 1 ... --with \"old one\"";

const LEARNT: &str = "\
Examples:
  halfsplit learnt                             which circuits, how many jobs, which shops
  halfsplit learnt vacuum-wastegate            before, now and how sure, for each cause
  halfsplit learnt --export ours.jsonl         sums for another shop: counts, no job, vehicle or person
  halfsplit learnt --add theirs.jsonl          another shop's sums; its newer ones take the place of its older ones";

/// What is asked of the closed jobs.
#[derive(Debug, Args)]
pub(crate) struct Learnt {
    #[command(flatten)]
    pub(crate) what: Asked,
    /// With --export: circuits of your own too, whose names then go along
    #[arg(long, requires = "export")]
    pub(crate) own_circuits: bool,
    /// Where the shop's jobs are, as for `halfsplit job`
    #[arg(long, value_name = "FILE|URL")]
    pub(crate) database: Option<String>,
}

/// One of these.
#[derive(Debug, Args)]
#[group(multiple = false)]
pub(crate) struct Asked {
    #[arg(help = CIRCUIT)]
    pub(crate) circuit: Option<String>,
    /// Writes this shop's sums for others; `-` for standard output
    #[arg(long, value_name = "FILE")]
    pub(crate) export: Option<PathBuf>,
    /// Adds another shop's sums
    #[arg(long, value_name = "FILE")]
    pub(crate) add: Option<PathBuf>,
    /// Leaves another shop's sums out again; the beginning of its name will do
    #[arg(long, value_name = "SHOP")]
    pub(crate) leave_out: Option<String>,
}

const SUSPECTS: &str = "\
Examples:
  halfsplit suspects vacuum-wastegate
  halfsplit suspects vacuum-wastegate --readings job.toml
  halfsplit suspects vacuum-wastegate --altitude \"1600 m\" \\
      --reading \"deadhead:valve.source@idle = 21.5 inHg\" --reading \"look:source-hose@off = no\"

A readings file:
  altitude = \"1600 m\"                     # or barometer = \"83.4 kPa\"
  [[reading]]
  check = \"deadhead:valve.source@idle\"    # halfsplit describe CIRCUIT lists the checks
  value = \"21.5 inHg\"                     # or bound = \"> 20 inHg\", or answer = \"yes\", \"no\", \"not done\"";

const SEQUENCE: &str = "\
Examples:
  halfsplit sequence table.json
  halfsplit sequence table.json --time 60 --json
  make-table | halfsplit sequence -

A table, with a repair for each cause:
  {\"causes\": [{\"name\": \"hose split\", \"prior\": 0.7, \"repair\": 20},
              {\"name\": \"valve sticks\", \"prior\": 0.3, \"repair\": 90, \"repair_setup\": \"cover off\"}],
   \"tests\": [{\"name\": \"gauge\", \"cost\": 5, \"setup\": \"cover off\", \"positive\": [0.95, 0.05]}],
   \"setups\": [{\"name\": \"cover off\", \"cost\": 4}],
   \"setup_mode\": \"stays\", \"verify\": 3}

  positive     probability of a positive outcome under each cause, in their order
  setup_mode   stays: a set-up is paid once; one_at_a_time: at every change
  verify       cost of the check after each repair
  wrong_cost   without repairs the aim is a name: what the wrong one costs; left out, all tests that
               tell anything are made";

#[derive(Debug, Args)]
pub(crate) struct Sequence {
    /// The table, a JSON file; `-` for standard input
    pub(crate) file: PathBuf,
    /// How long to look for a better plan; the best one found by then is the answer
    #[arg(long, value_name = "SECONDS", default_value = "5", allow_negative_numbers = true, value_parser = seconds)]
    pub(crate) time: Duration,
    /// Looks into so many nodes instead, whatever the time: the same answer on every machine
    #[arg(long, value_name = "N", conflicts_with = "time")]
    pub(crate) nodes: Option<usize>,
    /// Takes priors as ratios and scales them so that they sum to 1
    #[arg(long)]
    pub(crate) scale_priors: bool,
}

/// A time in seconds, with or without a point.
fn seconds(text: &str) -> Result<Duration, String> {
    let number: f64 = text
        .trim()
        .parse()
        .map_err(|_| "a number of seconds is wanted, for instance 5 or 0.5".to_owned())?;
    Duration::try_from_secs_f64(number).map_err(|_| "seconds cannot be negative or endless".to_owned())
}

#[derive(Debug, Args)]
pub(crate) struct Demo {
    /// Where to write the drawing
    #[arg(long, value_name = "FILE.svg", default_value = "halfsplit-demo.svg")]
    pub(crate) out: PathBuf,
}

#[derive(Debug, Args)]
pub(crate) struct Expect {
    #[arg(help = CIRCUIT)]
    pub(crate) circuit: String,
    /// The check, METHOD:PLACE@CONDITION
    #[arg(long, value_name = "ID")]
    pub(crate) check: String,
    /// A fault that is there; without a severity it is spread over its usual range. May be given again
    #[arg(long = "fault", value_name = "PART/FAULT[=SEVERITY]")]
    pub(crate) faults: Vec<String>,
    /// Height above sea level
    #[arg(long, value_name = "HEIGHT")]
    pub(crate) altitude: Option<String>,
}

/// Where readings come from.
#[derive(Debug, Args)]
pub(crate) struct Taken {
    /// A readings file
    #[arg(long, value_name = "FILE")]
    pub(crate) readings: Option<PathBuf>,
    /// A reading, as if it stood last in the file. May be given again
    #[arg(long = "reading", value_name = "CHECK = WHAT WAS READ")]
    pub(crate) reading: Vec<String>,
    /// Height above sea level, where no file says it
    #[arg(long, value_name = "HEIGHT")]
    pub(crate) altitude: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Suspects {
    #[arg(help = CIRCUIT)]
    pub(crate) circuit: String,
    #[command(flatten)]
    pub(crate) taken: Taken,
}

const PLAN: &str = "\
Examples:
  halfsplit plan vacuum-wastegate
  halfsplit plan vacuum-wastegate --card card.svg
  halfsplit plan starter-circuit --instead \"volts:motor.plus@cranking\"
  halfsplit plan vacuum-wastegate --readings job.toml --json";

#[derive(Debug, Args)]
pub(crate) struct Plan {
    #[arg(help = CIRCUIT)]
    pub(crate) circuit: String,
    #[command(flatten)]
    pub(crate) taken: Taken,
    /// How long to look for a better plan; the best one found by then is the answer
    #[arg(long, value_name = "SECONDS", default_value = "2", allow_negative_numbers = true, value_parser = seconds)]
    pub(crate) time: Duration,
    /// Looks into so many nodes instead, whatever the time: the same answer on every machine
    #[arg(long, value_name = "N", conflicts_with = "time")]
    pub(crate) nodes: Option<usize>,
    /// Writes the test card, one printable page, as SVG or PDF; `-` for standard output
    #[arg(long, value_name = "FILE.svg|FILE.pdf")]
    pub(crate) card: Option<PathBuf>,
    /// A check you would rather make first: what that choice costs
    #[arg(long, value_name = "CHECK")]
    pub(crate) instead: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Practice {
    #[arg(help = CIRCUIT, required_unless_present = "all", conflicts_with = "all")]
    pub(crate) circuit: Option<String>,
    /// On all shipped circuits
    #[arg(long, requires = "jobs")]
    pub(crate) all: bool,
    /// Plays this many jobs at once, spread evenly over the circuits
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    pub(crate) jobs: Option<u32>,
    /// The same seed gives the same jobs. Played alone, another one each time if none is given
    #[arg(long, value_name = "S")]
    pub(crate) seed: Option<u64>,
}

#[derive(Debug, Args)]
pub(crate) struct Circuits {
    /// A trouble code, or words of the complaint
    pub(crate) words: Vec<String>,
    /// Only those that this trouble code leads to
    #[arg(long, value_name = "CODE")]
    pub(crate) code: Option<String>,
    /// Only those in which this flows: vacuum, pressure, air, electric, rod; say it again for more
    #[arg(long, value_name = "MEDIUM")]
    pub(crate) medium: Vec<String>,
    /// Only those with these words in a complaint that leads there
    #[arg(long, value_name = "WORDS")]
    pub(crate) symptom: Option<String>,
    /// Reviews them all and tries every check under every fault and pair; exit code 1 if one is not sound
    #[arg(long, conflicts_with_all = ["words", "code", "medium", "symptom"])]
    pub(crate) check: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Describe {
    #[arg(help = CIRCUIT)]
    pub(crate) circuit: String,
    /// For its author: what no check tells apart or shows, figures that do not matter or are unusual, what each check shows
    #[arg(long)]
    pub(crate) review: bool,
    /// With --review: what each check shows of each part, as an SVG file; `-` for standard output
    #[arg(long, value_name = "FILE.svg", requires = "review")]
    pub(crate) drawing: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct Draw {
    #[arg(help = CIRCUIT)]
    pub(crate) circuit: String,
    #[command(flatten)]
    pub(crate) taken: Taken,
    /// Writes an SVG file; `-` for standard output
    #[arg(long, value_name = "FILE.svg")]
    pub(crate) out: Option<PathBuf>,
    /// Draws in the terminal, also where a file is written
    #[arg(long)]
    pub(crate) terminal: bool,
}
