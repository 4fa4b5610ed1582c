//! Spark beside the other readers. A topic of its own: where Spark cannot be had, `tests/run` leaves it out.

use crate::table_contract::read_by;

#[test]
fn spark_reads_a_folder_as_the_others_do() {
    read_by(&["spark"]);
}
