//! Which language is meant, and how figures look in it.

use super::{Language, Manner, drawn, during, exact, exact_read, figures, of, page_before};
use axum::http::{HeaderMap, HeaderName, HeaderValue, header};

fn asked(lines: &[(HeaderName, &'static str)]) -> HeaderMap {
    let lines = lines.iter().cloned();
    lines
        .map(|(name, value)| (name, HeaderValue::from_static(value)))
        .collect()
}

#[test]
fn a_browser_says_what_it_wants_most_and_a_choice_on_the_page_goes_before() {
    let wants = |list| of(&asked(&[(header::ACCEPT_LANGUAGE, list)])).language;
    assert_eq!(wants("de-AT, en;q=0.7"), Language::German);
    assert_eq!(wants("fr, en;q=0.5, es-MX;q=0.8"), Language::Spanish);
    assert_eq!(wants("de;q=0, en"), Language::English);
    assert_eq!(wants("tlh"), Language::English);
    let chosen = of(&asked(&[
        (header::ACCEPT_LANGUAGE, "de"),
        (header::COOKIE, "other=1; language=es"),
    ]));
    assert_eq!(chosen.language, Language::Spanish);
}

#[test]
fn figures_take_the_decimal_mark_of_the_language() {
    let german = Manner {
        language: Language::German,
    };
    assert_eq!(
        during(german, || figures("9.8 to 12.3 mm. Then 4")),
        "9,8 to 12,3 mm. Then 4"
    );
    assert_eq!(figures("9.8 mm"), "9.8 mm");
}

#[test]
fn a_choice_leads_back_to_a_page_of_the_shop_only() {
    let back = |from| page_before(&asked(&[(header::REFERER, from)]));
    assert_eq!(back("http://127.0.0.1:8427/jobs/1?x=2"), "/jobs/1?x=2");
    assert_eq!(back("http://127.0.0.1:8427//elsewhere"), "/");
    assert_eq!(back("nonsense"), "/");
}

#[test]
fn how_right_an_instrument_is_can_be_said_and_typed_in_every_language() {
    let texts = [
        "class 1.6 of 4 bar",
        "grade B of 60 psi",
        "0.5 % + 2 digits of 10 mV",
        "1 digit",
    ];
    for (language, said) in [
        (Language::English, texts),
        (
            Language::German,
            [
                "Klasse 1,6 von 4 bar",
                "Grad B von 60 psi",
                "0,5 % + 2 Digits von 10 mV",
                "1 Digit",
            ],
        ),
        (
            Language::Spanish,
            [
                "clase 1,6 de 4 bar",
                "grado B de 60 psi",
                "0,5 % + 2 dígitos de 10 mV",
                "1 dígito",
            ],
        ),
    ] {
        during(Manner { language }, || {
            assert_eq!(texts.map(exact), said);
            assert_eq!(said.map(exact_read), texts);
        });
    }
}

#[test]
fn a_drawing_calls_parts_and_ports_as_the_circuit_does_and_says_the_rest() {
    let svg = r#"<g aria-label="battery: battery"><text class="id" x="1">battery</text><text class="port">positive</text><text x="1">2.5 mm</text></g>"#;
    let german = Manner {
        language: Language::German,
    };
    assert_eq!(
        during(german, || drawn(svg)),
        r#"<g aria-label="battery: Batterie"><text class="id" x="1">battery</text><text class="port">positive</text><text x="1">2,5 mm</text></g>"#
    );
    assert_eq!(drawn(svg), svg);
}
