//! What it costs to repair without measuring on: parts in the best order until it works.
//!
//! Heckerman, Breese and Rommelse, Communications of the ACM 38(3) (1995) 49; the order by probability over cost is
//! optimal where one part is the cause (Kadane and Simon, Annals of Statistics 5 (1977) 237).

use circuit::{Circuit, PartId};

/// What the shop charges and pays.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shop {
    /// Per minute of hands-on work, in the shop's currency.
    pub rate: f64,
    /// Minutes of the check after a repair that shows whether it worked.
    pub proof_minutes: f64,
    /// Minutes to look beyond this circuit, when every part has been renewed or nothing is wrong in it.
    pub beyond_minutes: f64,
    /// Minutes to try a new part by itself before it is fitted: coil measured, click heard, fed directly.
    pub bench_minutes: f64,
    /// Share of bad new parts that this finds.
    pub bench_catches: f64,
}

impl Default for Shop {
    /// 60 an hour; ten minutes of proof; an hour and a half to start again elsewhere; a new part tried on the bench in three
    /// and a half, of 2 to 5. Common practice, no source. That the bench finds seven bad new parts of ten is from memory.
    fn default() -> Self {
        Self {
            rate: 1.0,
            proof_minutes: 10.0,
            beyond_minutes: 90.0,
            bench_minutes: 3.5,
            bench_catches: 0.7,
        }
    }
}

/// One repair in the order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RepairStep {
    /// The part.
    pub part: PartId,
    /// Probability that it is the cause, alone or with others.
    pub probability: f64,
    /// Cost of this step: work, part, proof.
    pub cost: f64,
}

/// Repairs in their order, with what they are expected to cost together.
#[derive(Debug, Clone, PartialEq)]
pub struct RepairOrder {
    /// Parts, best first.
    pub steps: Vec<RepairStep>,
    /// Expected cost until the vehicle works.
    pub expected_cost: f64,
}

/// Cost of renewing a part and proving it.
pub(crate) fn repair_costs(circuit: &Circuit, shop: &Shop) -> Vec<f64> {
    circuit
        .parts
        .iter()
        .map(|part| (part.repair.minutes + shop.proof_minutes) * shop.rate + part.repair.price)
        .collect()
}

/// Repairs in order of probability over cost for suspects given as (parts hit, probability); what the suspects leave of 1 is a
/// cause beyond this circuit.
pub fn repair_order(circuit: &Circuit, shop: &Shop, suspects: &[(&[PartId], f64)]) -> RepairOrder {
    let costs = repair_costs(circuit, shop);
    let probabilities = part_probabilities(circuit.parts.len(), suspects);
    let order = order(&probabilities, &costs);
    let beyond = shop.beyond_minutes * shop.rate;
    let known: f64 = suspects.iter().map(|(_, probability)| probability).sum();
    let expected_cost = weighted_cost(&order, &costs, suspects, beyond) + (1.0 - known).max(0.0) * beyond;
    let steps = order.iter().map(|&part| RepairStep {
        part: PartId(part),
        probability: probabilities[part],
        cost: costs[part],
    });
    RepairOrder {
        steps: steps.collect(),
        expected_cost,
    }
}

pub(crate) fn part_probabilities(parts: usize, suspects: &[(&[PartId], f64)]) -> Vec<f64> {
    let mut probabilities = vec![0.0; parts];
    for (hit, probability) in suspects {
        hit.iter().for_each(|part| probabilities[part.0] += probability);
    }
    probabilities
}

/// Parts that may be the cause, by probability over cost.
pub(crate) fn order(probabilities: &[f64], costs: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..probabilities.len())
        .filter(|part| probabilities[*part] > 1e-9)
        .collect();
    order.sort_by(|a, b| {
        (probabilities[*b] / costs[*b])
            .total_cmp(&(probabilities[*a] / costs[*a]))
            .then(a.cmp(b))
    });
    order
}

/// Cost of repairing in `order` until every part of the true suspect is renewed, summed over suspects times their weight. A
/// suspect without parts, or with parts that the order leaves out, is paid with looking `beyond`.
pub(crate) fn weighted_cost(
    order: &[usize],
    costs: &[f64],
    suspects: &[(&[PartId], f64)],
    beyond: f64,
) -> f64 {
    let mut place = vec![usize::MAX; costs.len()];
    let mut paid = Vec::with_capacity(order.len() + 1);
    paid.push(0.0);
    for (index, &part) in order.iter().enumerate() {
        place[part] = index;
        paid.push(paid[index] + costs[part]);
    }
    let cost = |hit: &[PartId]| match hit.iter().map(|part| place[part.0]).max() {
        None | Some(usize::MAX) => beyond,
        Some(last) => paid[last + 1],
    };
    suspects.iter().map(|(hit, weight)| weight * cost(hit)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    const PARTS: [PartId; 4] = [PartId(0), PartId(1), PartId(2), PartId(3)];

    /// Worked example: p = (.20, .45, .10, .25), C = (6, 12, 1, 4): order 3, 4, 2, 1, expected cost 13.60, worst order
    /// 17.10. Rule: Kadane and Simon (1977); the figures are computed, all 24 orders compared.
    #[test]
    fn the_ratio_rule_gives_the_published_order() {
        let (p, costs) = ([0.20, 0.45, 0.10, 0.25], [6.0, 12.0, 1.0, 4.0]);
        let suspects: Vec<(&[PartId], f64)> =
            p.iter().enumerate().map(|(i, p)| (&PARTS[i..=i], *p)).collect();
        let best = order(&p, &costs);
        assert_eq!(best, [2, 3, 1, 0]);
        assert!((weighted_cost(&best, &costs, &suspects, 0.0) - 13.60).abs() < 1e-12);
        assert!((weighted_cost(&[0, 1, 3, 2], &costs, &suspects, 0.0) - 17.10).abs() < 1e-12);
    }

    #[test]
    fn a_pair_is_paid_until_both_parts_are_renewed() {
        let pair = [(&PARTS[..2], 1.0)];
        assert!((weighted_cost(&[0, 1], &[5.0, 7.0], &pair, 100.0) - 12.0).abs() < 1e-12);
    }

    #[test]
    fn a_cause_beyond_the_order_costs_a_look_beyond() {
        let nothing = [(&PARTS[..0], 0.5), (&PARTS[3..], 0.5)];
        assert!((weighted_cost(&[0], &[5.0, 5.0, 5.0, 5.0], &nothing, 90.0) - 90.0).abs() < 1e-12);
    }
}
