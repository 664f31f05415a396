//! Paper as PDF, where this build can write it.

use crate::failure::Failure;
use std::path::Path;

/// A page as PDF.
#[cfg(feature = "pdf")]
pub(crate) fn page(page: &report::Page) -> Result<Vec<u8>, Failure> {
    page.pdf().map_err(|error| Failure::could_not(error, None))
}

/// A test card as PDF.
#[cfg(feature = "pdf")]
pub(crate) fn card(card: &report::Card) -> Result<Vec<u8>, Failure> {
    card.pdf().map_err(|error| Failure::could_not(error, None))
}

#[cfg(not(feature = "pdf"))]
pub(crate) fn page(_: &report::Page) -> Result<Vec<u8>, Failure> {
    Err(none())
}

#[cfg(not(feature = "pdf"))]
pub(crate) fn card(_: &report::Card) -> Result<Vec<u8>, Failure> {
    Err(none())
}

#[cfg(not(feature = "pdf"))]
fn none() -> Failure {
    Failure::could_not(
        "this build of the program writes no PDF",
        Some("print the HTML or the SVG from a browser, or build with the feature `pdf`".to_owned()),
    )
}

/// `true` if a file's name says that it is to be a PDF.
pub(crate) fn is_wanted(path: &Path) -> bool {
    let extension = path.extension();
    extension.is_some_and(|extension| extension.eq_ignore_ascii_case("pdf"))
}
