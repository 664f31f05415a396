//! Paper for a job: pages that stand alone in one file, without script or outside address, for print and for a phone.
//!
//! [`job_sheet`] is the shop's record, [`customer_sheet`] the customer's page. Each makes a [`Page`], which is written as HTML.
//! All words come escaped; only drawings are taken as they are.

mod customer;
mod html;
mod page;
mod quote;
mod sheet;
mod shop;

pub use customer::customer_sheet;
pub use page::Page;
pub use sheet::Sheet;
pub use shop::job_sheet;
