//! The bay screen: the shop's jobs in a browser on a bench, a tablet or a phone.
//!
//! Pages are made here from what the store keeps; nothing comes from an outside address. `doors` says who may come in:
//! this machine as it is, anybody else paired and through TLS. What a page or the interface for programs cannot do is one
//! [`NotDone`], told as a page or as problem details.

mod api;
mod assets;
mod circuits;
mod doors;
mod invitation;
mod layout;
mod not_done;
mod pages;
mod serve;
mod shelf;
mod shop;
mod speech;

pub use invitation::Invitation;
pub use layout::{Nav, layout};
pub use not_done::NotDone;
pub use serve::{Asked, Bounds, Open, PORT, ServeError, open};
pub use shop::{Shop, Visitor};
