//! The cheapest joint assignment of five defenders to five attackers against SciPy's `linear_sum_assignment`
//! (D. F. Crouse, "On implementing 2D rectangular assignment algorithms", 2016).

use scrim_play::{CostTable, Five, MatchupModel, MatchupParams, Place, SIDE_SIZE};
use serde_json::json;

use crate::python::ask;
use crate::sequence::Sequence;

/// A row a defender, a column an attacker.
type Costs = [[f64; SIDE_SIZE]; SIDE_SIZE];

fn total(costs: &Costs, attacker_of: &[usize]) -> f64 {
    let pairs = costs.iter().zip(attacker_of);
    pairs.map(|(row, &attacker)| row[attacker]).sum()
}

#[test]
fn the_cheapest_assignment_is_scipys() {
    let mut sequence = Sequence::new(1);
    // Squared distances of a defence in shape, costs that differ little, and whole numbers with many ties.
    let mut costs: Vec<Costs> = Vec::new();
    for k in 0..300 {
        costs.push(std::array::from_fn(|_| {
            std::array::from_fn(|_| match k % 3 {
                0 => 200.0 * sequence.next_share().powi(2),
                1 => 5.0 + 1e-3 * sequence.next_share(),
                _ => (4.0 * sequence.next_share()).floor(),
            })
        }));
    }
    costs.push([[7.0; SIDE_SIZE]; SIDE_SIZE]);
    let answers: Vec<Vec<usize>> = ask("assignment.py", &json!({ "costs": costs }));
    assert_eq!(answers.len(), costs.len());
    let model = MatchupModel::new(&MatchupParams::default());
    let mut same = 0;
    for (cost, scipy) in costs.iter().zip(&answers) {
        let ours = model.cheapest(&CostTable::from(cost.map(Five::from)));
        let ours = ours.values().map(Place::index);
        // With ties two assignments may both be the cheapest; the totals still agree.
        let (ours_total, scipy_total) = (total(cost, &ours), total(cost, scipy));
        assert!(
            (ours_total - scipy_total).abs() < 1e-9,
            "{cost:?}: {ours_total}, SciPy {scipy_total}"
        );
        same += usize::from(ours[..] == scipy[..]);
    }
    // Two thirds of the tables have no ties: there the assignment itself must be SciPy's.
    assert!(same >= 200, "{same}");
}
