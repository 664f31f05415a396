//! What has to be set up before a test or a repair, and what that costs as things stand.
//!
//! Two sorts: what stays once it is done (a cover off), and what excludes its like (the engine at idle, the key on). The ways
//! things can stand are numbered as they are met, so that a step of the search compares two small numbers.

use crate::key::ByKey;
use std::collections::BTreeMap;

/// Index of a set of needs; 0 is "nothing".
pub type NeedsId = usize;
/// A way things stand.
pub(crate) type StandId = u32;

/// What can be needed, and its cost.
#[derive(Debug, Clone, Default)]
pub struct Ground {
    /// Cost of each thing that stays.
    lasting: Vec<f64>,
    /// Cost of each thing that excludes its like.
    exclusive: Vec<f64>,
    /// What is needed: lasting things, and one exclusive thing.
    needs: Vec<(Vec<usize>, Option<usize>)>,
    /// At the start: lasting things done, and the exclusive one.
    start: (Vec<usize>, Option<usize>),
}

impl Ground {
    /// Things that stay and things that exclude each other, by their costs, and how they stand at the start.
    pub fn new(lasting: Vec<f64>, exclusive: Vec<f64>, mut done: Vec<usize>, current: Option<usize>) -> Self {
        done.sort_unstable();
        done.dedup();
        Self {
            lasting,
            exclusive,
            needs: vec![(Vec::new(), None)],
            start: (done, current),
        }
    }

    /// The id of needing `lasting` and `exclusive` together.
    pub fn needs(&mut self, mut lasting: Vec<usize>, exclusive: Option<usize>) -> NeedsId {
        lasting.sort_unstable();
        lasting.dedup();
        let wanted = (lasting, exclusive);
        self.needs
            .iter()
            .position(|known| *known == wanted)
            .unwrap_or_else(|| {
                self.needs.push(wanted);
                self.needs.len() - 1
            })
    }
}

/// The ways things have stood so far in a search.
#[derive(Debug)]
pub(crate) struct Stands<'p> {
    ground: &'p Ground,
    known: Vec<(Vec<usize>, Option<usize>)>,
    index: BTreeMap<(Vec<usize>, Option<usize>), StandId>,
    /// For every way things stand and every need: what meeting it costs, and how things stand then.
    moves: ByKey<u64, (f64, StandId)>,
}

impl<'p> Stands<'p> {
    pub(crate) fn new(ground: &'p Ground) -> Self {
        let mut stands = Self {
            ground,
            known: Vec::new(),
            index: BTreeMap::new(),
            moves: ByKey::default(),
        };
        stands.number(ground.start.clone());
        stands
    }

    /// How things stand at the start.
    pub(crate) const START: StandId = 0;

    fn number(&mut self, stand: (Vec<usize>, Option<usize>)) -> StandId {
        if let Some(id) = self.index.get(&stand) {
            return *id;
        }
        let id = StandId::try_from(self.known.len()).unwrap_or(StandId::MAX);
        self.index.insert(stand.clone(), id);
        self.known.push(stand);
        id
    }

    /// What meeting `needs` costs when things stand at `from`, and how they stand then.
    pub(crate) fn meet(&mut self, from: StandId, needs: NeedsId) -> (f64, StandId) {
        if needs == 0 {
            return (0.0, from);
        }
        let step = (u64::from(from) << 32) | needs as u64;
        if let Some(known) = self.moves.get(&step) {
            return *known;
        }
        let (mut done, mut current) = self.known[from as usize].clone();
        let (lasting, exclusive) = &self.ground.needs[needs];
        let mut cost = 0.0;
        for thing in lasting {
            if let Err(place) = done.binary_search(thing) {
                cost += self.ground.lasting[*thing];
                done.insert(place, *thing);
            }
        }
        if exclusive.is_some() && *exclusive != current {
            cost += exclusive.map_or(0.0, |thing| self.ground.exclusive[thing]);
            current = *exclusive;
        }
        let met = (cost, self.number((done, current)));
        self.moves.insert(step, met);
        met
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stays_is_paid_once_and_what_excludes_at_every_change() {
        let mut ground = Ground::new(vec![4.0, 2.0], vec![1.0, 3.0], vec![], Some(0));
        let cover = ground.needs(vec![0], None);
        let both = ground.needs(vec![1, 0], Some(1));
        let rest = ground.needs(vec![], Some(0));
        assert_eq!(cover, ground.needs(vec![0, 0], None), "the same need has one id");
        let mut stands = Stands::new(&ground);
        let (first, open) = stands.meet(Stands::START, cover);
        let (again, same) = stands.meet(open, cover);
        let (second, idle) = stands.meet(open, both);
        let (back, _) = stands.meet(idle, rest);
        assert_eq!((first, again, second, back), (4.0, 0.0, 5.0, 1.0));
        assert_eq!(open, same);
    }
}
