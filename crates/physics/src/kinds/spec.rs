//! Short words for writing a kind's tables, and what several kinds share.
//!
//! Ports, parameters, faults with the units their severity is written in, and the cautions that more than one kind has.
//! What a part does is in its own kind's file.

use circuit::{
    Caution, FaultSpec, Medium, ParameterDomain, ParameterSpec, PortSpec, SeveritySpec, Shows, Spread,
};
use quantity::Dimension;

/// An air port that must be joined.
pub(crate) const fn air(name: &'static str, what: &'static str) -> PortSpec {
    PortSpec {
        name,
        medium: Medium::Air,
        may_stay_open: false,
        unplugs: true,
        what,
    }
}

/// An air port that must be joined and is too wide for a gauge in its place.
pub(crate) const fn wide(name: &'static str, what: &'static str) -> PortSpec {
    PortSpec {
        name,
        medium: Medium::Air,
        may_stay_open: false,
        unplugs: false,
        what,
    }
}

/// An air port that opens to the ambient air where nothing is joined.
pub(crate) const fn vent(name: &'static str, what: &'static str) -> PortSpec {
    PortSpec {
        name,
        medium: Medium::Air,
        may_stay_open: true,
        unplugs: true,
        what,
    }
}

/// A port of liquid behind a coupling.
pub(crate) const fn wet(name: &'static str, what: &'static str) -> PortSpec {
    PortSpec {
        name,
        medium: Medium::Liquid,
        may_stay_open: false,
        unplugs: true,
        what,
    }
}

/// A port of liquid that opens only where a line with a coupling is joined to it: the inside of a tank.
pub(crate) const fn immersed(name: &'static str, what: &'static str) -> PortSpec {
    PortSpec {
        unplugs: false,
        ..wet(name, what)
    }
}

/// A bolted or spliced electric port.
pub(crate) const fn terminal(name: &'static str, what: &'static str) -> PortSpec {
    PortSpec {
        name,
        medium: Medium::Electric,
        may_stay_open: false,
        unplugs: false,
        what,
    }
}

/// An electric port behind a plug.
pub(crate) const fn plug(name: &'static str, what: &'static str) -> PortSpec {
    PortSpec {
        name,
        medium: Medium::Electric,
        may_stay_open: false,
        unplugs: true,
        what,
    }
}

/// An electric port that may stay unused.
pub(crate) const fn optional_plug(name: &'static str, what: &'static str) -> PortSpec {
    PortSpec {
        name,
        medium: Medium::Electric,
        may_stay_open: true,
        unplugs: true,
        what,
    }
}

/// A rod or lever; it may move freely.
pub(crate) const fn rod(name: &'static str, what: &'static str) -> PortSpec {
    PortSpec {
        name,
        medium: Medium::Rod,
        may_stay_open: true,
        unplugs: false,
        what,
    }
}

/// A parameter with a default, all SI.
pub(crate) const fn parameter(
    name: &'static str,
    what: &'static str,
    dimensions: &'static [Dimension],
    default: f64,
    spread: Spread,
    range: (f64, f64),
) -> ParameterSpec {
    ParameterSpec {
        name,
        what,
        domain: ParameterDomain::Quantity(dimensions),
        default: Some(default),
        spread,
        range,
    }
}

/// A parameter that an author must give.
pub(crate) const fn required(
    name: &'static str,
    what: &'static str,
    dimensions: &'static [Dimension],
    spread: Spread,
    range: (f64, f64),
) -> ParameterSpec {
    ParameterSpec {
        name,
        what,
        domain: ParameterDomain::Quantity(dimensions),
        default: None,
        spread,
        range,
    }
}

/// A fault that is there or not.
pub(crate) const fn fault(name: &'static str, what: &'static str, share: f64, seen: f64) -> FaultSpec {
    FaultSpec {
        name,
        what,
        share,
        severity: None,
        seen,
        shows: None,
    }
}

/// A fault that can be more or less bad.
pub(crate) const fn graded(
    name: &'static str,
    what: &'static str,
    share: f64,
    seen: f64,
    severity: SeveritySpec,
) -> FaultSpec {
    FaultSpec {
        name,
        what,
        share,
        severity: Some(severity),
        seen,
        shows: None,
    }
}

/// A fault that comes and goes. What brings it out, from memory: each figure is a chance in one check.
pub(crate) const fn at_times(
    name: &'static str,
    what: &'static str,
    share: f64,
    seen: f64,
    shows: Shows,
) -> FaultSpec {
    FaultSpec {
        name,
        what,
        share,
        severity: None,
        seen,
        shows: Some(shows),
    }
}

/// A hole's or a remaining opening's bore, written in millimetres, given in metres.
pub(crate) const fn bore(what: &'static str, low: f64, typical: f64, high: f64) -> SeveritySpec {
    SeveritySpec {
        what,
        dimension: Dimension::Length,
        unit: "mm",
        low,
        typical,
        high,
    }
}

/// A parameter that is a plain number.
pub(crate) const fn bare(
    name: &'static str,
    what: &'static str,
    default: f64,
    spread: f64,
    range: (f64, f64),
) -> ParameterSpec {
    parameter(
        name,
        what,
        &[Dimension::Ratio],
        default,
        Spread::Absolute(spread),
        range,
    )
}

/// A resistance in ohms.
pub(crate) const fn ohms(what: &'static str, low: f64, typical: f64, high: f64) -> SeveritySpec {
    SeveritySpec {
        what,
        dimension: Dimension::Resistance,
        unit: "ohm",
        low,
        typical,
        high,
    }
}

/// A ratio.
pub(crate) const fn share(what: &'static str, low: f64, typical: f64, high: f64) -> SeveritySpec {
    SeveritySpec {
        what,
        dimension: Dimension::Ratio,
        unit: "%",
        low,
        typical,
        high,
    }
}

/// Hot parts beside the turbocharger.
pub(crate) const HOT: Caution = Caution {
    hazard: "exhaust and turbocharger burn for half an hour after running",
    precaution: "gloves, or let it cool 20 to 30 minutes; do the cold checks first",
    running_only: false,
};

/// Coolant.
pub(crate) const HOT_COOLANT: Caution = Caution {
    hazard: "coolant above 50 °C sprays from a sensor's hole or an opened cap and burns",
    precaution: "open or unscrew only below 50 °C, cap first, a rag over it",
    running_only: false,
};

/// A charging system at work.
pub(crate) const LOAD_DUMP: Caution = Caution {
    hazard: "taking a battery cable off with the engine running kills modules; the main terminal is live and unfused",
    precaution: "never disconnect it running; battery's negative terminal off before any nut of the alternator",
    running_only: false,
};

/// A fan that starts by itself.
pub(crate) const FAN: Caution = Caution {
    hazard: "the fan starts by itself, with the key off too, and takes fingers",
    precaution: "unplug it before a hand goes in; plug it in again only for the reading",
    running_only: false,
};

/// Belts and fans.
pub(crate) const BELTS: Caution = Caution {
    hazard: "belts, pulleys and the fan catch hoses, sleeves and cords; a fan may start by itself",
    precaution: "route and tie the gauge hose clear of them, no loose sleeves or rings",
    running_only: true,
};

/// Petrol vapour.
pub(crate) const VAPOUR: Caution = Caution {
    hazard: "petrol vapour catches fire from a spark, a hot lamp or a phone",
    precaution: "aired bay, no sparks, nothing hot; at most 14 inH2O, and only gas that the unit is made for; tank below 85 %",
    running_only: false,
};

/// Full load.
pub(crate) const LOADED: Caution = Caution {
    hazard: "a test under full load is a fast drive with eyes on a gauge, and too much boost breaks the engine",
    precaution: "a second person reads, on a road or brake that allows it; agree on the gauge's limit first and lift off there",
    running_only: true,
};

/// Air under pressure.
pub(crate) const PRESSED: Caution = Caution {
    hazard: "hose ends and couplings fly off under pressure",
    precaution: "regulator with a relief valve, at most 1 bar; stand clear of the ends, ease couplings before taking them off",
    running_only: false,
};

/// Exhaust gas.
pub(crate) const EXHAUST_GAS: Caution = Caution {
    hazard: "exhaust gas in a closed bay kills",
    precaution: "tail-pipe extraction running before the engine is; open doors are not enough",
    running_only: true,
};

/// Fused leads.
pub(crate) const FUSED_LEAD: Caution = Caution {
    hazard: "a direct 12 V lead burns wires and modules",
    precaution: "fuse the lead (3 to 5 A for a coil), never feed a module's pin or a 5 V line",
    running_only: false,
};

/// Fuel that comes out.
pub(crate) const FUEL: Caution = Caution {
    hazard: "fuel under pressure sprays into eyes and onto hot parts; its vapour burns and explodes",
    precaution: "pump off and pressure relieved before a coupling is opened, a rag around it, glasses and gloves on; no flame, \
                 sparks or hot lamp, extinguisher at hand; drain into a closed can, wipe up at once",
    running_only: false,
};

/// The high-pressure side of a fuel system.
pub(crate) const HIGH_PRESSURE: Caution = Caution {
    hazard: "fuel from a high-pressure line or injector goes through skin; that is an emergency for a surgeon",
    precaution: "leave high-pressure lines closed while the engine runs and for 10 minutes after; never feel for a leak by hand",
    running_only: false,
};

/// Battery.
pub(crate) const BATTERY: Caution = Caution {
    hazard: "a battery gives off hydrogen, holds acid and welds spanners",
    precaution: "glasses on, no sparks, negative terminal off first and on last",
    running_only: false,
};

/// Crank currents.
pub(crate) const CRANKING: Caution = Caution {
    hazard: "the vehicle can move and the fan and belts turn while cranking",
    precaution: "out of gear, wheels chocked, hands clear; crank at most 15 seconds, then rest 2 minutes",
    running_only: true,
};

/// A resistance of heavy cables and joints, written in milliohms, given in ohms.
pub(crate) const fn milliohms(what: &'static str, low: f64, typical: f64, high: f64) -> SeveritySpec {
    SeveritySpec {
        what,
        dimension: Dimension::Resistance,
        unit: "mohm",
        low,
        typical,
        high,
    }
}

/// A voltage.
pub(crate) const fn volts(what: &'static str, low: f64, typical: f64, high: f64) -> SeveritySpec {
    SeveritySpec {
        what,
        dimension: Dimension::Voltage,
        unit: "V",
        low,
        typical,
        high,
    }
}

/// A pressure, written in kilopascals, given in pascals.
pub(crate) const fn pressure(what: &'static str, low: f64, typical: f64, high: f64) -> SeveritySpec {
    SeveritySpec {
        what,
        dimension: Dimension::Pressure,
        unit: "kPa",
        low,
        typical,
        high,
    }
}

/// A bolted electric port that may stay unused.
pub(crate) const fn optional_terminal(name: &'static str, what: &'static str) -> PortSpec {
    PortSpec {
        name,
        medium: Medium::Electric,
        may_stay_open: true,
        unplugs: false,
        what,
    }
}

/// A parameter that is one of a few words; the first is the default.
pub(crate) const fn choice(
    name: &'static str,
    what: &'static str,
    words: &'static [&'static str],
) -> ParameterSpec {
    ParameterSpec {
        name,
        what,
        domain: ParameterDomain::Choice(words),
        default: Some(0.0),
        spread: Spread::Absolute(0.0),
        range: (0.0, 10.0),
    }
}

/// Piercing and probing.
pub(crate) const PROBING: Caution = Caution {
    hazard: "thick probes spread terminals, pierced wires rot",
    precaution: "back-probe with thin pins; seal any wire that was pierced",
    running_only: false,
};

/// Heavy current.
pub(crate) const SHORT_CIRCUIT: Caution = Caution {
    hazard: "an unfused battery cable welds rings, watch straps and spanners",
    precaution: "jewellery off; take the battery's negative terminal off before loosening any heavy cable",
    running_only: false,
};
