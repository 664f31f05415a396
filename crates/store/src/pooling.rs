//! Sums of several shops: written for others, taken from others, added up for the next job.
//!
//! Three lines of JSON: `{"halfsplit":"learnt","format":1,"shop":..,"made":..}`, `{"sums":..}` and `{"end":2,"sha256":..}` of the
//! lines before. A shop's name is drawn by lot; its newer sums take the place of its older ones, because they hold them.

use crate::error::StoreError;
use crate::exchange;
use crate::learning;
use crate::photos;
use crate::rows::{Rows, text};
use crate::shelf::Pooling;
use crate::sql;
use jiff::Timestamp;
use job::JobId;
use life::Sums;
use serde_json::{Value, json};
use uuid::Uuid;

/// The newest form of the file.
const FORMAT: u64 = 1;
/// The setting that holds the shop's name.
const SHOP: &str = "shop";

/// The sums of one shop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pooled {
    /// The shop's name, drawn by lot.
    pub shop: Uuid,
    /// When they were added up.
    pub made: Timestamp,
    /// The sums: counts, no job, vehicle or person.
    pub sums: Sums,
}

impl Pooled {
    /// As a file.
    pub fn write(&self) -> String {
        let head = json!({
            "halfsplit": "learnt", "format": FORMAT, "shop": self.shop.to_string(), "made": self.made.to_string(),
        });
        let lines = format!("{head}\n{}\n", json!({"sums": self.sums}));
        let sum = photos::hash(lines.as_bytes());
        format!("{lines}{}\n", json!({"end": 2, "sha256": sum}))
    }

    /// From a file.
    ///
    /// # Errors
    /// [`StoreError::Sums`] for anything that [`Pooled::write`] did not write, or a newer form of it.
    pub fn read(file: &str) -> Result<Self, StoreError> {
        let at = |line: u64| move |why: String| StoreError::Sums { line, why };
        let mut lines = file.lines();
        let mut next = |line: u64| -> Result<(&str, Value), StoreError> {
            let text = lines.next().ok_or_else(|| {
                at(line)(
                    "the file ends before its last line: it was cut off; copy or export it once more"
                        .to_owned(),
                )
            })?;
            let value = serde_json::from_str(text).map_err(|error| {
                at(line)(format!(
                    "not a line of exported sums, or cut off: {error}; export them once more"
                ))
            })?;
            Ok((text, value))
        };
        let (first, head) = next(1)?;
        header(&head).map_err(at(1))?;
        let (second, body) = next(2)?;
        let (_, end) = next(3)?;
        let known = photos::hash(format!("{first}\n{second}\n").as_bytes());
        exchange::trailer(&end["end"], &end["sha256"], 2, &known).map_err(at(3))?;
        let named = |name: &str| head[name].as_str().unwrap_or_default();
        let wrong =
            |name: &str, why: &dyn std::fmt::Display| at(1)(format!("`{name}` cannot be read: {why}"));
        Ok(Self {
            shop: named("shop").parse().map_err(|error| wrong("shop", &error))?,
            made: named("made").parse().map_err(|error| wrong("made", &error))?,
            sums: Sums::read(&body["sums"].to_string()).map_err(|error| at(2)(error.to_string()))?,
        })
    }
}

fn header(value: &Value) -> Result<(), String> {
    match (value["halfsplit"].as_str(), value["format"].as_u64()) {
        (Some("learnt"), Some(1..=FORMAT)) => Ok(()),
        (Some("learnt"), Some(found)) => Err(format!(
            "the sums have form {found}, and this program understands forms up to {FORMAT}: they were written by a newer version of halfsplit"
        )),
        _ => Err("not exported sums; expected a first line with `halfsplit` and `format`".to_owned()),
    }
}

/// Sums of this shop, with its name.
pub(crate) fn own(rows: &mut dyn Rows) -> Result<Pooled, StoreError> {
    Ok(Pooled {
        shop: shop(rows)?,
        made: Timestamp::now(),
        sums: learning::own(rows)?,
    })
}

fn shop(rows: &mut dyn Rows) -> Result<Uuid, StoreError> {
    let kept = rows.texts_of(sql::SETTING, &[text(SHOP)])?.pop();
    if let Some(shop) = kept.and_then(|kept| kept.parse().ok()) {
        return Ok(shop);
    }
    // A name of version 4 says nothing, not even when it was drawn.
    let drawn = Uuid::new_v4();
    rows.put_setting(SHOP, Some(&drawn.to_string()))?;
    Ok(drawn)
}

/// Sums of other shops.
pub(crate) fn others(rows: &mut dyn Rows) -> Result<Vec<Pooled>, StoreError> {
    let shops = rows.texts_of(sql::OTHER_SHOPS, &[])?;
    let mut all = Vec::new();
    for name in shops {
        let made = rows.whole(sql::SUMS_MADE, &[text(&name)])?;
        let sums = rows
            .texts_of(sql::SUMS, &[text(&name)])?
            .pop()
            .unwrap_or_default();
        let damaged = |why: String| StoreError::Damaged {
            at: format!("the sums of shop {name}"),
            why,
        };
        all.push(Pooled {
            shop: name
                .parse()
                .map_err(|error: uuid::Error| damaged(error.to_string()))?,
            made: Timestamp::from_microsecond(made).map_err(|error| damaged(error.to_string()))?,
            sums: Sums::read(&sums).map_err(|error| damaged(error.to_string()))?,
        });
    }
    Ok(all)
}

/// All sums together, without what one job teaches.
pub(crate) fn together(rows: &mut dyn Rows, except: Option<JobId>) -> Result<Sums, StoreError> {
    let mut sums = learning::own(rows)?;
    if let Some(job) = except
        && let Some(lesson) = learning::lesson(rows, job)?
    {
        sums.take_away(&lesson).map_err(|unfit| StoreError::Lesson {
            job,
            why: unfit.to_string(),
        })?;
    }
    for other in others(rows)? {
        sums.merge(&other.sums);
    }
    Ok(sums)
}

/// Keeps another shop's sums.
pub(crate) fn take(rows: &mut dyn Rows, other: &Pooled) -> Result<Pooling, StoreError> {
    if shop(rows)? == other.shop {
        return Err(StoreError::OwnSums);
    }
    let name = other.shop.to_string();
    let made = other.made.as_microsecond();
    let known = rows.texts_of(sql::SUMS, &[text(&name)])?.pop().is_some();
    let before = rows.whole(sql::SUMS_MADE, &[text(&name)])?;
    let became = match before.cmp(&made) {
        _ if !known => Pooling::New,
        std::cmp::Ordering::Less => Pooling::Newer,
        std::cmp::Ordering::Equal => return Ok(Pooling::Already),
        std::cmp::Ordering::Greater => return Ok(Pooling::Older),
    };
    learning::put(rows, &name, made, &other.sums)?;
    Ok(became)
}

/// Forgets another shop's sums.
pub(crate) fn leave_out(rows: &mut dyn Rows, shop: Uuid) -> Result<bool, StoreError> {
    let name = text(&shop.to_string());
    let known = rows
        .texts_of(sql::SUMS, std::slice::from_ref(&name))?
        .pop()
        .is_some();
    rows.run(sql::FORGET_SUMS, &[name])?;
    Ok(known)
}
