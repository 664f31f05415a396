//! The arguments of an offer, and of what the shop charges.

use super::super::args::{Grade, amount};
use ::job::GivenPrice;
use clap::{Args, ValueEnum as _};

/// What is asked of an offer.
#[derive(Debug, Args)]
pub(crate) struct Asked {
    /// A real price before tax, `original`, `equivalent` or `budget`; may be given again
    #[arg(long = "price", value_name = "PART=GRADE:AMOUNT", value_parser = price, conflicts_with = "answer")]
    pub(crate) prices: Vec<GivenPrice>,
    /// Shows the offer without giving it to the customer
    #[arg(long, conflicts_with = "answer")]
    pub(crate) draft: bool,
    #[command(flatten)]
    pub(crate) answer: Answer,
}

/// What the customer says.
#[derive(Debug, Args)]
#[group(id = "answer", multiple = false)]
pub(crate) struct Answer {
    /// The customer agrees to option K; words after it are kept as a note
    #[arg(long, num_args = 1.., value_names = ["K", "NOTE"])]
    pub(crate) accept: Option<Vec<String>>,
    /// The customer wants no repair yet and agrees to go on measuring
    #[arg(long, num_args = 0.., value_name = "NOTE")]
    pub(crate) go_on: Option<Vec<String>>,
    /// The customer says no, with the reason if there is one
    #[arg(long, num_args = 0.., value_name = "REASON")]
    pub(crate) refuse: Option<Vec<String>>,
}

/// What a shop charges, and what it keeps of itself.
#[derive(Debug, Args)]
pub(crate) struct Charges {
    /// The currency's letters or sign
    #[arg(long)]
    pub(crate) currency: Option<String>,
    /// Price of an hour of work before tax
    #[arg(long, value_name = "AMOUNT", value_parser = amount, allow_negative_numbers = true)]
    pub(crate) rate: Option<f64>,
    /// Tax on work and parts, percent
    #[arg(long, value_name = "PERCENT", value_parser = amount, allow_negative_numbers = true)]
    pub(crate) tax: Option<f64>,
    /// Where the shop stands above the sea; `none` forgets it
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub(crate) altitude: Option<String>,
    /// An instrument of the shop's own, with how right it is as its dial or manual says; may be given again
    #[arg(long = "instrument", value_name = "SORT: NAME = ACCURACY")]
    pub(crate) instruments: Vec<String>,
    /// The name of an instrument that the shop has no longer; may be given again
    #[arg(long = "drop-instrument", value_name = "NAME")]
    pub(crate) dropped: Vec<String>,
    /// Where the shop's jobs are: a file, or `postgres://user@host/name` for several machines; without it, the one that the environment names, or one in the data folder
    #[arg(long, value_name = "FILE|URL")]
    pub(crate) database: Option<String>,
}

/// `valve=budget:22.50`.
pub(crate) fn price(text: &str) -> Result<GivenPrice, String> {
    let wrong = || "PART=GRADE:AMOUNT is wanted, for instance valve=budget:22.50".to_owned();
    let (part, rest) = text.split_once('=').ok_or_else(wrong)?;
    let (grade, price) = rest.split_once(':').ok_or_else(wrong)?;
    let grade = Grade::from_str(grade.trim(), true)
        .map_err(|_| format!("`{}` is no grade: original, equivalent or budget", grade.trim()))?;
    Ok(GivenPrice {
        part: part.trim().to_owned(),
        grade: grade.into(),
        price: amount(price)?,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]

    use super::*;

    #[test]
    fn a_price_has_a_part_a_grade_and_an_amount() {
        let given = price(" valve = Budget : 22.50").unwrap();
        assert_eq!(
            (given.part.as_str(), given.grade),
            ("valve", ::job::Grade::Budget)
        );
        assert!((given.price - 22.5).abs() < f64::EPSILON);
        for (text, told) in [
            ("valve", "PART=GRADE:AMOUNT"),
            ("valve=22.50", "PART=GRADE:AMOUNT"),
            ("valve=cheap:22.50", "no grade"),
            ("valve=budget:-3", "from 0 on"),
            ("valve=budget:NaN", "from 0 on"),
        ] {
            assert!(price(text).unwrap_err().contains(told), "{text}");
        }
    }
}
