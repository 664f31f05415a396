//! What a phone or tablet needs to become one of the shop's devices, and the picture of it that its camera reads.

use crate::doors::Network;
use maud::{Markup, html};
use qrcode::{Color, EcLevel, QrCode};
use std::fmt::Write as _;

/// Light squares around the others, as the standard asks for (ISO/IEC 18004, section 5.3.8).
const QUIET: usize = 4;

/// An invitation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Invitation {
    /// Addresses to type, the likeliest first.
    pub addresses: Vec<String>,
    /// The one-time code.
    pub code: String,
    /// SHA-256 of the certificate, as browsers show it.
    pub fingerprint: String,
}

impl Invitation {
    pub(crate) fn new(network: &Network, code: String) -> Self {
        Self {
            addresses: network.addresses.clone(),
            code,
            fingerprint: network.fingerprint.clone(),
        }
    }

    /// Address and code in one, for a camera.
    pub fn link(&self) -> String {
        let address = self.addresses.first().map_or("", String::as_str);
        format!("{address}pair?code={}", self.code)
    }

    /// The code as it is read aloud: in groups of four.
    pub fn spoken(&self) -> String {
        let letters: Vec<char> = self.code.chars().collect();
        let groups: Vec<String> = letters.chunks(4).map(|group| group.iter().collect()).collect();
        groups.join("-")
    }

    /// The squares of the picture, row by row with the light ones around: `true` is dark.
    fn squares(&self) -> Vec<Vec<bool>> {
        let Ok(code) = QrCode::with_error_correction_level(self.link(), EcLevel::L) else {
            // Only for an address too long to be one.
            return Vec::new();
        };
        let (width, colours) = (code.width(), code.to_colors());
        let side = width + 2 * QUIET;
        let dark = |row: usize, column: usize| {
            let inside = |at: usize| at.checked_sub(QUIET).filter(|at| *at < width);
            let at = inside(row)
                .zip(inside(column))
                .map(|(row, column)| row * width + column);
            at.is_some_and(|at| colours[at] == Color::Dark)
        };
        (0..side)
            .map(|row| (0..side).map(|column| dark(row, column)).collect())
            .collect()
    }

    /// The picture in lines for a terminal with colours, two rows of squares a line.
    pub fn lines(&self) -> Vec<String> {
        let squares = self.squares();
        let line = |rows: &[Vec<bool>]| {
            let lower = rows.get(1);
            let pair = |(column, upper): (usize, &bool)| match (upper, lower.is_some_and(|row| row[column])) {
                (true, true) => '█',
                (true, false) => '▀',
                (false, true) => '▄',
                (false, false) => ' ',
            };
            rows[0].iter().enumerate().map(pair).collect()
        };
        squares.chunks(2).map(line).collect()
    }

    /// The picture for a page.
    pub(crate) fn picture(&self) -> Markup {
        let squares = self.squares();
        let mut path = String::new();
        for (y, row) in squares.iter().enumerate() {
            for (x, _) in row.iter().enumerate().filter(|(_, dark)| **dark) {
                let _ = write!(path, "M{x} {y}h1v1h-1z");
            }
        }
        let view = format!("0 0 {0} {0}", squares.len());
        html! {
            svg class="scan" viewBox=(view) role="img" aria-label=(crate::speech::said::code_to_scan()) shape-rendering="crispEdges" {
                rect width="100%" height="100%" fill="#fff" {}
                path d=(path) fill="#000" {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at once")]
    use super::*;
    use rqrr::PreparedImage;

    fn invitation() -> Invitation {
        Invitation {
            addresses: vec!["https://192.168.1.5:8443/".to_owned()],
            code: "ABCDEFGH".to_owned(),
            fingerprint: String::new(),
        }
    }

    /// What a camera reads in dots, each square some of them wide.
    fn scanned(dots: &[Vec<bool>]) -> String {
        const WIDE: usize = 4;
        let (width, height) = (dots[0].len() * WIDE, dots.len() * WIDE);
        let mut seen = PreparedImage::prepare_from_greyscale(width, height, |x, y| {
            if dots[y / WIDE][x / WIDE] { 0 } else { 255 }
        });
        let grids = seen.detect_grids();
        grids[0].decode().unwrap().1
    }

    #[test]
    fn a_camera_reads_address_and_code() {
        let invitation = invitation();
        assert_eq!(invitation.link(), "https://192.168.1.5:8443/pair?code=ABCDEFGH");
        assert_eq!(scanned(&invitation.squares()), invitation.link());
    }

    #[test]
    fn it_reads_them_in_a_terminal_too() {
        let invitation = invitation();
        let mut dots = Vec::new();
        for line in invitation.lines() {
            dots.push(line.chars().map(|half| matches!(half, '█' | '▀')).collect());
            dots.push(line.chars().map(|half| matches!(half, '█' | '▄')).collect());
        }
        assert_eq!(scanned(&dots), invitation.link());
    }

    #[test]
    fn on_a_page_light_lies_under_dark_and_not_around_it() {
        let page = invitation().picture().into_string();
        assert!(page.contains("fill=\"#fff\"></rect><path"), "{}", &page[..200]);
    }
}
