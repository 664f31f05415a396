//! Outer size of a cell and the heights at which its lines leave it.

/// See the module's header. Units are those of the drawing it is for: sheet units or characters.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Shape {
    pub(crate) width: i32,
    pub(crate) height: i32,
    /// For each port of the kind, its distance from the top.
    pub(crate) ports: Vec<i32>,
}

impl Shape {
    /// A line passing through a column.
    pub(crate) fn line() -> Self {
        Self {
            width: 0,
            height: 0,
            ports: vec![0],
        }
    }

    /// Distance of a port from the top.
    pub(crate) fn port(&self, port: usize) -> i32 {
        self.ports.get(port).copied().unwrap_or(self.height / 2)
    }
}
