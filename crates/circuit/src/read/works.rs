//! `[works]`: the check that says that the circuit does its job, and its limits. `[[complaint]]`: what else brings a vehicle in.

use crate::amount::{Wanted, amount};
use crate::check::{Check, Reads};
use crate::check_id::{self, Places};
use crate::codes;
use crate::fields::{Field, Fields, Quoted};
use crate::kind::KindSpec;
use crate::model::{Circuit, Works};
use crate::sheet::{Sheet, shown};
use diag::{Diagnostic, Span};
use quantity::{Dimension, PressureReference};

/// `[works]`, or a `[[complaint]]`, before it is known whether the check exists.
#[derive(Debug)]
pub(super) struct DraftWorks<'a> {
    pub(super) check: Quoted<'a>,
    least: Option<Field<'a>>,
    most: Option<Field<'a>>,
    answer: Option<Field<'a>>,
    span: Span,
}

pub(super) fn read<'a>(sheet: &mut Sheet<'_>, mut fields: Fields<'a>) -> Option<DraftWorks<'a>> {
    let check = fields
        .require("check", sheet, "\"travel:actuator.rod@idle\"")
        .and_then(|field| field.text(sheet));
    let (least, most) = (fields.take("least"), fields.take("most"));
    let answer = fields.take("answer");
    let span = fields.span;
    if least.is_none() && most.is_none() && answer.is_none() {
        let found = Diagnostic::error(
            codes::LEAST_MOST,
            span,
            "neither `least` nor `most` says what is good",
        );
        sheet.push(
            found
                .labelled("good from where on?")
                .hint("add for instance `least = \"8 mm\"`"),
        );
    }
    fields.finish(sheet, &["check", "least", "most", "answer"]);
    Some(DraftWorks {
        check: check?,
        least,
        most,
        answer,
        span,
    })
}

impl DraftWorks<'_> {
    /// Looks at the names in the check of a circuit that is not complete.
    pub(super) fn look(
        &self,
        sheet: &mut Sheet<'_>,
        parts: Vec<(&str, Option<&'static KindSpec>)>,
        conditions: &[String],
    ) {
        let places = Places {
            parts,
            conditions: conditions.iter().map(String::as_str).collect(),
        };
        check_id::known_names(sheet, self.check, &places);
    }

    /// The works of a circuit that is otherwise complete.
    pub(super) fn complete(
        &self,
        sheet: &mut Sheet<'_>,
        circuit: &Circuit,
        checks: &[Check],
    ) -> Option<Works> {
        let check = &checks[check_id::find(sheet, self.check, circuit, checks)?];
        if let (None, Some(answer), None, None) =
            (check.reads.dimension(), self.answer, self.least, self.most)
        {
            return answered(sheet, answer, check);
        }
        if let (Some(_), Some(answer)) = (check.reads.dimension(), self.answer) {
            let found = Diagnostic::error(
                codes::WORKS_ANSWER,
                answer.span,
                format!("`{}` reads {}", check.id, check.reads.noun()),
            );
            let hint = format!("write `least` or `most`, such as `{}`", check.reads.example());
            sheet.push(found.labelled("no yes or no").hint(hint));
            return None;
        }
        let Some(dimension) = check.reads.dimension() else {
            let found = Diagnostic::error(
                codes::WORKS_ANSWER,
                self.check.span,
                format!("`{}` reads no quantity", check.id),
            );
            sheet.push(
                found
                    .labelled("answered with yes or no")
                    .hint("name a check that reads a travel, a pressure, a voltage"),
            );
            return None;
        };
        let limit = |sheet: &mut Sheet<'_>, field: &Option<Field<'_>>| {
            field.and_then(|field| limit(sheet, &field, check.reads, dimension))
        };
        let (least, most) = (limit(sheet, &self.least), limit(sheet, &self.most));
        if let (Some(least), Some(most)) = (least, most)
            && least >= most
        {
            let found = Diagnostic::error(codes::LEAST_MOST, self.span, "`least` is not below `most`");
            sheet.push(found.labelled("no reading can be good"));
        }
        Some(Works {
            check: check.id.clone(),
            least,
            most,
        })
    }
}

/// `answer = "yes"`: kept as limits of the chance of a yes.
fn answered(sheet: &mut Sheet<'_>, field: Field<'_>, check: &Check) -> Option<Works> {
    const EVEN: f64 = 0.5;
    let answer = field.text(sheet)?;
    let (least, most) = match answer.text {
        "yes" => (Some(EVEN), None),
        "no" => (None, Some(EVEN)),
        _ => {
            let found = Diagnostic::error(
                codes::UNKNOWN_WORD,
                answer.span,
                format!("`{}` is no answer", shown(answer.text)),
            );
            sheet.push(
                found
                    .labelled("neither yes nor no")
                    .hint("write `\"yes\"` or `\"no\"`"),
            );
            return None;
        }
    };
    Some(Works {
        check: check.id.clone(),
        least,
        most,
    })
}

/// A limit in the sense in which the check reads: a vacuum counts downwards from ambient.
fn limit(sheet: &mut Sheet<'_>, field: &Field<'_>, reads: Reads, dimension: Dimension) -> Option<f64> {
    let dimensions = [dimension];
    let wanted = Wanted {
        dimensions: &dimensions,
        range: (f64::MIN, f64::MAX),
        example: reads.example(),
    };
    let amount = amount(sheet, field, &wanted)?;
    let sign = match (reads, amount.parsed.reference) {
        (Reads::Vacuum, PressureReference::Gauge) | (Reads::GaugePressure, PressureReference::Vacuum) => -1.0,
        (Reads::Vacuum | Reads::GaugePressure, PressureReference::Absolute)
        | (Reads::AbsolutePressure, PressureReference::Gauge | PressureReference::Vacuum) => {
            let found = Diagnostic::error(
                codes::REFERENCE,
                amount.span,
                "this limit would move with the barometer",
            );
            sheet.push(
                found
                    .labelled("against the wrong reference")
                    .hint("write it as the gauge of this check shows it"),
            );
            return None;
        }
        _ => 1.0,
    };
    Some(sign * amount.si())
}
