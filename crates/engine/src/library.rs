//! The shipped circuits, inside the program.

/// A shipped circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shipped {
    /// File name without `.toml`.
    pub name: &'static str,
    /// Its text.
    pub text: &'static str,
}

macro_rules! ship {
    ($($name:literal),* $(,)?) => {
        &[$(Shipped { name: $name, text: include_str!(concat!("../../../circuits/", $name, ".toml")) }),*]
    };
}

static SHIPPED: &[Shipped] = ship![
    "vacuum-wastegate",
    "vacuum-variable-geometry",
    "starter-circuit",
    "vacuum-exhaust-gas-recirculation",
    "vacuum-axle-engagement",
    "brake-booster-vacuum",
    "low-pressure-fuel",
    "can-bus",
    "temperature-sensor",
    "sensor-supply",
    "glow-plugs",
    "cooling-fan",
    "charging",
    "electric-variable-geometry",
    "evaporative-leak",
    "pressure-wastegate",
    "charge-air",
];

/// All shipped circuits.
pub fn shipped() -> &'static [Shipped] {
    SHIPPED
}

/// The shipped circuit called `name`.
pub fn shipped_called(name: &str) -> Option<&'static Shipped> {
    SHIPPED.iter().find(|shipped| shipped.name == name)
}

/// The shipped circuits that a trouble code can come from, in the library's order.
pub fn leading_from(code: &str) -> Vec<&'static Shipped> {
    let code = code.to_ascii_uppercase();
    let leads = |shipped: &&Shipped| {
        crate::load(shipped.name, shipped.text)
            .model
            .is_some_and(|model| model.circuit().codes.contains(&code))
    };
    SHIPPED.iter().filter(leads).collect()
}
