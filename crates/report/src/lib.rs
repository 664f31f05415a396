//! Paper for a job: pages that stand alone in one file, without script or outside address, for print and for a phone.
//!
//! [`job_sheet`] is the shop's record, [`customer_sheet`] the customer's page; each makes a [`Page`]. A [`Card`] is a test card.
//! Both are written as HTML or, with the feature `pdf`, as PDF. All words come escaped; only drawings are taken as they are.

mod card;
mod customer;
mod html;
mod page;
#[cfg(feature = "pdf")]
mod pdf;
mod quote;
mod sheet;
mod shop;

pub use card::Card;
pub use customer::customer_sheet;
pub use page::Page;
#[cfg(feature = "pdf")]
pub use pdf::PdfError;
pub use sheet::{Compared, Sheet};
pub use shop::job_sheet;
