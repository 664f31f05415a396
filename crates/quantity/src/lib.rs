//! Physical quantities: parsed and printed as the trade writes them.
