//! The arguments of `halfsplit job`.

use clap::{Args, Subcommand, ValueEnum};
use std::path::PathBuf;

/// What every step of a job takes.
#[derive(Debug, Args)]
pub(crate) struct Job {
    #[command(subcommand)]
    pub(crate) step: Step,
    /// Where the shop's jobs are: a file, or `postgres://user@host/name` for several machines; without it, the one that the environment names, or one in the data folder
    #[arg(long, global = true, value_name = "FILE|URL")]
    pub(crate) database: Option<String>,
    /// Who says so
    #[arg(
        long,
        global = true,
        value_name = "NAME",
        env = "HALFSPLIT_WHO",
        default_value = "",
        hide_default_value = true
    )]
    pub(crate) who: String,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Step {
    /// Takes a vehicle in
    #[command(after_help = "\
Example:
  halfsplit job new --code P0299 --circuit vacuum-wastegate --vehicle \"white van, ladder on the roof\" \\
      --complaint \"no power uphill\" --odometer 212000 --altitude \"1600 m\" --replaced \"source-line, 2000 km\"")]
    New(Box<New>),
    /// The shop's jobs, newest first
    List {
        /// Words of the vehicle or the complaint
        words: Vec<String>,
        /// Only those so far: checking, proven, quoted, agreed, repaired, watch or closed
        #[arg(long)]
        stage: Option<String>,
        /// At most so many
        #[arg(long, default_value_t = 30)]
        limit: usize,
    },
    /// Everything about a job, and where it stands
    Show { job: String },
    /// What to suspect now, and the next check with its cautions
    Next { job: String },
    /// Writes down what a check read
    #[command(after_help = "\
Examples:
  halfsplit job read 12 \"deadhead:valve.source@idle = 21.5 inHg\"
  halfsplit job read 12 \"tee:valve.source@idle > 20 inHg\" --with \"second gauge\" --minutes 4
  halfsplit job read 12 \"look:source-line@off = not done\"")]
    Read {
        job: String,
        /// The check, `=` and what was read
        #[arg(value_name = "CHECK = WHAT", required = true)]
        readings: Vec<String>,
        /// The instrument, if it was not the usual one: one of the shop's own (halfsplit shop), or any name
        #[arg(long = "with", alias = "instrument", value_name = "NAME")]
        instrument: Option<String>,
        /// Hands-on minutes it took; of several readings, all together
        #[arg(long, value_parser = amount)]
        minutes: Option<f64>,
    },
    /// Takes the last thing back that was said; it stays in the record
    Undo {
        job: String,
        /// Why
        #[arg(long, default_value = "", hide_default_value = true)]
        because: String,
    },
    /// Says that the cautions of the next check, or of a check or part, were read
    Caution {
        job: String,
        /// A check, or a part to be renewed
        of: Option<String>,
    },
    /// Writes a note
    Note { job: String, text: String },
    /// Keeps a picture
    Photo {
        job: String,
        file: PathBuf,
        /// What it shows
        #[arg(long, default_value = "", hide_default_value = true)]
        words: String,
    },
    /// Notes one more code
    Code {
        job: String,
        code: String,
        /// The module calls it pending
        #[arg(long, conflicts_with = "permanent")]
        pending: bool,
        /// The module calls it permanent
        #[arg(long)]
        permanent: bool,
    },
    /// Says how the vehicle stands, for whoever goes on
    Stands {
        job: String,
        /// An access that is open; may be given again
        #[arg(long)]
        open: Vec<String>,
        /// A part that is off the vehicle; may be given again
        #[arg(long)]
        off: Vec<String>,
        /// The engine is hot
        #[arg(long, conflicts_with = "cold")]
        hot: bool,
        /// The engine is cold
        #[arg(long)]
        cold: bool,
    },
    /// Says that a part or a fault is not the cause, by hand
    RuleOut {
        job: String,
        /// PART or PART/FAULT
        what: String,
        /// How one knows
        #[arg(long)]
        because: String,
    },
    /// Calls the cause proven, or says what is missing
    ProveCause {
        job: String,
        /// PART/FAULT, if it is not the leading suspect
        faults: Vec<String>,
        /// Calls it proven although something is missing, with the reason
        #[arg(long, value_name = "REASON")]
        by_hand: Option<String>,
    },
    /// Makes the customer an offer: what was spent, ways to repair, going on, stopping; or writes down the answer
    #[command(after_help = "\
Examples:
  halfsplit job quote 12                                  gives the offer; --draft only shows it
  halfsplit job quote 12 --price valve=budget:22.50       with a real price before tax
  halfsplit job quote 12 --accept 1 \"agreed by telephone\"
  halfsplit job quote 12 --go-on
  halfsplit job quote 12 --refuse \"too dear\"
What the shop charges is set once: halfsplit shop --currency EUR --rate 95 --tax 19")]
    Quote {
        job: String,
        #[command(flatten)]
        asked: super::offer::args::Asked,
    },
    /// Writes down how a new part did before fitting
    NewPart {
        job: String,
        part: String,
        /// What was tried: coil resistance, a click on a fused lead, a hold test
        #[arg(long)]
        check: String,
        /// What was read
        #[arg(long)]
        read: String,
        /// It may not be fitted
        #[arg(long)]
        bad: bool,
        /// original, equivalent or budget
        #[arg(long)]
        grade: Option<Grade>,
    },
    /// Writes a repair down
    #[command(after_help = "\
Example:
  halfsplit job repair 12 source-line --grade original --price 18 --minutes 15 --behind \"oil from the cover seal, renewed\"")]
    Repair {
        job: String,
        part: String,
        /// The old part was put right instead of renewed
        #[arg(long)]
        kept: bool,
        /// original, equivalent or budget
        #[arg(long, conflicts_with = "kept")]
        grade: Option<Grade>,
        /// Price of the part
        #[arg(long, value_parser = amount)]
        price: Option<f64>,
        /// Hands-on minutes
        #[arg(long, value_parser = amount)]
        minutes: Option<f64>,
        /// Why it failed: found and put right; without it, looked for and not found
        #[arg(long, value_name = "WHAT", conflicts_with = "left")]
        behind: Option<String>,
        /// Why it failed: found and left
        #[arg(long, value_name = "WHAT")]
        left: Option<String>,
    },
    /// The checks that prove the repair and what is still missing, or what one of them read
    #[command(after_help = "\
Examples:
  halfsplit job prove 12
  halfsplit job prove 12 \"tee:valve.source@idle = 21 inHg\"
  halfsplit job prove 12 \"road test uphill = yes\" --good
  halfsplit job prove 12 --by-hand \"customer drove 200 km, pulls\"")]
    Prove(Prove),
    /// Writes down a trip after the repair, and says what the lamp and the code wait for
    Trip {
        job: String,
        /// The monitor that set the code did not run to its end
        #[arg(long, conflicts_with = "fault")]
        not_run: bool,
        /// It found the fault again
        #[arg(long)]
        fault: bool,
        /// Another fault was found that is new since the repair
        #[arg(long)]
        other_fault: bool,
        /// Driven as when the fault was found; matters for fuel-system and misfire codes
        #[arg(long)]
        similar: bool,
        /// Coolant at the start
        #[arg(long, value_name = "TEMPERATURE")]
        from: Option<String>,
        /// Highest coolant temperature
        #[arg(long, value_name = "TEMPERATURE")]
        to: Option<String>,
    },
    /// Gives the job a recorded drive: kept with it, its driving and warm-up cycles counted for lamp and code; given twice it counts once
    #[command(after_help = "\
Examples:
  halfsplit job drive 12 commute.csv --ran
  halfsplit job drive 12 road.log --words \"uphill, fully loaded\"")]
    Drive {
        job: String,
        #[command(flatten)]
        recorded: crate::drives::args::Recorded,
        /// The monitor that set the code ran to its end in every cycle of it: a recording does not tell
        #[arg(long)]
        ran: bool,
        /// Driven as when the fault was found; matters for fuel-system and misfire codes
        #[arg(long)]
        similar: bool,
        /// What it shows
        #[arg(long, default_value = "", hide_default_value = true)]
        words: String,
    },
    /// The code came back
    SeenAgain {
        job: String,
        code: String,
        /// Distance driven then, km
        #[arg(long, value_name = "KM", value_parser = amount)]
        odometer: Option<f64>,
    },
    /// Ends a job: repaired and proven, unless said otherwise
    Close {
        job: String,
        #[command(flatten)]
        how: How,
    },
    /// Goes on with a closed job
    Reopen {
        job: String,
        /// Why
        #[arg(long)]
        because: String,
        /// The complaint came back
        #[arg(long)]
        comeback: bool,
        /// Distance driven then, km
        #[arg(long, value_name = "KM", value_parser = amount)]
        odometer: Option<f64>,
    },
    /// Writes the job sheet, the customer's page or the test card, as HTML that stands alone in one file or as PDF
    #[command(after_help = "\
Examples:
  halfsplit job report 12 --out sheet.html
  halfsplit job report 12 --customer --pdf --out page.pdf
  halfsplit job report 12 --card --pdf --out card.pdf")]
    Report(Report),
    /// Writes everything out as JSON Lines
    Export {
        /// Where to; without it, standard output
        file: Option<PathBuf>,
    },
    /// Takes in what was written out; what is there already counts once
    Import { file: PathBuf },
    /// Moves the whole shop into another database, a file or a server, and compares; the old one stays as it is
    #[command(after_help = "\
Example:
  halfsplit job move --to postgres://shop@server/jobs")]
    Move {
        /// Where to: a new file, or an empty database of a server
        #[arg(long, value_name = "FILE|URL")]
        to: String,
    },
    /// Walks a person through a job, question by question
    Work { job: String },
}

/// What proves a repair.
#[derive(Debug, Args)]
pub(crate) struct Prove {
    pub(crate) job: String,
    /// The check, `=` and what was read; or words for a road test with --good or --bad
    #[arg(value_name = "CHECK = WHAT")]
    pub(crate) reading: Option<String>,
    /// It was as it should be
    #[arg(long, conflicts_with = "bad")]
    pub(crate) good: bool,
    /// It was not
    #[arg(long)]
    pub(crate) bad: bool,
    /// Calls the repair proven although something is missing, with the reason
    #[arg(long, value_name = "REASON", conflicts_with_all = ["reading", "good", "bad"])]
    pub(crate) by_hand: Option<String>,
}

/// What is written on paper, and how.
#[derive(Debug, Args)]
pub(crate) struct Report {
    pub(crate) job: String,
    /// The customer's page, in plain words
    #[arg(long)]
    pub(crate) customer: bool,
    /// The test card: the plan from here on, on one sheet
    #[arg(long, conflicts_with = "customer")]
    pub(crate) card: bool,
    /// As PDF, into a file
    #[arg(long, requires = "out")]
    pub(crate) pdf: bool,
    /// Where to; without it, standard output
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

/// How a job ends.
#[derive(Debug, Args)]
#[group(multiple = false)]
pub(crate) struct How {
    /// Handed back without proof, with the reason
    #[arg(long, value_name = "REASON")]
    pub(crate) unverified: Option<String>,
    /// Nothing is wrong in this circuit
    #[arg(long)]
    pub(crate) nothing_wrong: bool,
    /// The cause was something the circuit does not list
    #[arg(long, value_name = "WHAT")]
    pub(crate) not_listed: Option<String>,
    /// The customer stopped
    #[arg(long, value_name = "REASON")]
    pub(crate) stopped: Option<String>,
}

/// What is asked at the door.
#[derive(Debug, Args)]
pub(crate) struct New {
    /// The circuit to work on; without it, the one that the code leads to
    #[arg(long)]
    pub(crate) circuit: Option<String>,
    /// A trouble code; may be given again
    #[arg(long = "code")]
    pub(crate) codes: Vec<String>,
    /// The vehicle, in words by which the shop knows it again
    #[arg(long, default_value = "", hide_default_value = true)]
    pub(crate) vehicle: String,
    /// The customer's words
    #[arg(long, default_value = "", hide_default_value = true)]
    pub(crate) complaint: String,
    /// Distance driven, km
    #[arg(long, value_name = "KM", value_parser = amount)]
    pub(crate) odometer: Option<f64>,
    /// Hours the engine ran
    #[arg(long, value_name = "HOURS", value_parser = amount)]
    pub(crate) engine_hours: Option<f64>,
    /// Height above sea level
    #[arg(long, value_name = "HEIGHT")]
    pub(crate) altitude: Option<String>,
    /// Barometer as read, better than the height
    #[arg(long, value_name = "PRESSURE", conflicts_with = "altitude")]
    pub(crate) barometer: Option<String>,
    /// Temperature of the air
    #[arg(long)]
    pub(crate) temperature: Option<String>,
    /// A value the module froze: "coolant = 96 °C"; may be given again
    #[arg(long = "frozen", value_name = "WHAT = VALUE")]
    pub(crate) frozen: Vec<String>,
    /// A part renewed before: "PART, 2000 km, 30 days, budget"; may be given again
    #[arg(long = "replaced", value_name = "PART, WHEN")]
    pub(crate) replaced: Vec<String>,
    /// A part that lies in oil; may be given again
    #[arg(long = "oil", value_name = "PART")]
    pub(crate) oil: Vec<String>,
    /// A vehicle that does not exist, to show or to learn; its papers say so
    #[arg(long)]
    pub(crate) invented: bool,
    /// What the customer will spend at most
    #[arg(long, value_parser = amount)]
    pub(crate) limit: Option<f64>,
}

/// How good a part is.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum Grade {
    /// From the vehicle's maker or its supplier
    Original,
    /// Another maker's, to the same specification
    Equivalent,
    /// The cheapest that fits
    Budget,
}

impl From<Grade> for job::Grade {
    fn from(grade: Grade) -> Self {
        match grade {
            Grade::Original => Self::Original,
            Grade::Equivalent => Self::Equivalent,
            Grade::Budget => Self::Budget,
        }
    }
}

/// A number that is not negative.
pub(crate) fn amount(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(number) if number.is_finite() && number >= 0.0 => Ok(number),
        _ => Err("a number from 0 on is wanted, for instance 12.5".to_owned()),
    }
}
