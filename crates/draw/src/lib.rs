//! A circuit as a drawing: layout, scene, SVG, terminal.
