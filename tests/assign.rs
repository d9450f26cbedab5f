//! Giving out: the best way against trying every way there is, and against a general solver of linear programmes.
//! Neither knows anything of weights that hold several levels: both are given the levels one by one.

use good_lp::{Expression, Solution as _, SolverModel as _, constraint, variable, variables};
use inseam::advice::matching::{Choice, Table, best};

/// A seeded generator (Steele, Lea, Flood 2014, splitmix64), so that a failing case can be told by its number.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }
}

/// A random table and its times; few different values, so that there are ties.
struct Case {
    table: Table,
    times: Vec<Vec<Option<u32>>>,
}

impl Case {
    fn new(rows: usize, columns: usize, random: &mut Random) -> Self {
        let in_eight = 1 + random.below(8);
        let [cautions, others, doubts, lacking, times] = [
            1 + random.below(4),
            1 + random.below(4),
            1 + random.below(3),
            1 + random.below(3),
            1 + random.below(9),
        ];
        let cells = (0..rows * columns).map(|_| {
            (random.below(8) < in_eight).then(|| Choice {
                safety_cautions: u8::try_from(random.below(cautions)).unwrap(),
                other_cautions: u8::try_from(random.below(others)).unwrap(),
                doubt: u8::try_from(random.below(doubts)).unwrap(),
                lacks: random.below(lacking) > 0,
            })
        });
        let table = Table::new(rows, columns, cells.collect());
        let times = (0..rows).map(|_| {
            let is_known = random.below(6) > 0;
            let time = |random: &mut Random| u32::try_from(random.below(times)).unwrap();
            (0..columns)
                .map(|_| Some(time(random)).filter(|_| is_known))
                .collect()
        });
        let times = times.collect();
        Self { table, times }
    }

    fn best(&self) -> Vec<Option<usize>> {
        let at = |&(row, column): &(usize, usize)| self.times[row][column];
        best(&self.table, |cells| cells.iter().map(at).collect())
    }

    fn value(&self, given: &[Option<usize>]) -> Value {
        let mut value = Value {
            pairs: 0,
            cautions: 0,
            doubt: 0,
            lack: 0,
            shortest: None,
            others: 0,
            together: 0,
        };
        for (row, column) in given.iter().enumerate() {
            let Some(column) = *column else { continue };
            let choice = self
                .table
                .at(row, column)
                .expect("only pairs in question are given");
            value.pairs += 1;
            value.cautions += u32::from(choice.safety_cautions);
            value.doubt += u32::from(choice.doubt);
            value.lack += u32::from(choice.lacks);
            value.others += u32::from(choice.other_cautions);
            if let Some(time) = self.times[row][column] {
                value.shortest = Some(value.shortest.map_or(time, |least: u32| least.min(time)));
                value.together += time;
            }
        }
        value
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Value {
    pairs: u32,
    cautions: u32,
    doubt: u32,
    lack: u32,
    shortest: Option<u32>,
    others: u32,
    together: u32,
}

impl Value {
    /// Larger is better, level by level; where no time is known, nobody waits.
    fn key(self) -> [i64; 7] {
        [
            i64::from(self.pairs),
            -i64::from(self.cautions),
            -i64::from(self.doubt),
            -i64::from(self.lack),
            self.shortest.map_or(i64::MAX, i64::from),
            -i64::from(self.others),
            i64::from(self.together),
        ]
    }
}

/// Tries every way to give; of the best the first by name, a column before none.
fn brute(case: &Case) -> Vec<Option<usize>> {
    fn go(
        case: &Case,
        given: &mut Vec<Option<usize>>,
        taken: &mut Vec<bool>,
        best: &mut Option<([i64; 7], Vec<Option<usize>>)>,
    ) {
        let row = given.len();
        if row == case.table.rows() {
            let key = case.value(given).key();
            // The first way found is the first by name.
            if best.as_ref().is_none_or(|(found, _)| key > *found) {
                *best = Some((key, given.clone()));
            }
            return;
        }
        for column in 0..case.table.columns() {
            if !taken[column] && case.table.at(row, column).is_some() {
                taken[column] = true;
                given.push(Some(column));
                go(case, given, taken, best);
                given.pop();
                taken[column] = false;
            }
        }
        given.push(None);
        go(case, given, taken, best);
        given.pop();
    }
    let mut found = None;
    let mut taken = vec![false; case.table.columns()];
    go(case, &mut Vec::new(), &mut taken, &mut found);
    found.expect("giving nothing is a way, too").1
}

#[test]
fn it_is_the_best_of_every_way_there_is_up_to_seven_by_seven() {
    let mut cases = 0;
    for rows in 0..=7 {
        for columns in 0..=7 {
            for number in 0..16 {
                let mut random = Random(number * 100 + rows * 10 + columns);
                let [rows, columns] = [rows, columns].map(|size| usize::try_from(size).unwrap());
                let case = Case::new(rows, columns, &mut random);
                let (ours, wanted) = (case.best(), brute(&case));
                assert_eq!(
                    case.value(&ours),
                    case.value(&wanted),
                    "{rows} × {columns}, number {number}: {ours:?} against {wanted:?}"
                );
                assert_eq!(ours, wanted, "{rows} × {columns}, number {number}: by name");
                cases += 1;
            }
        }
    }
    assert!(cases >= 1000, "{cases}");
}

/// The best value of one level over all ways to give, those before it held; the relaxation is enough, because the
/// corners of assignments are whole (Birkhoff 1946, von Neumann 1953).
fn solve(case: &Case, least_time: u32, held: &[(Level, f64)], level: Level) -> Option<f64> {
    let mut variables = variables!();
    let mut cells = Vec::new();
    for row in 0..case.table.rows() {
        for column in 0..case.table.columns() {
            let is_long = case.times[row][column].is_none_or(|time| time >= least_time);
            if let Some(choice) = case.table.at(row, column).filter(|_| is_long) {
                let share = variables.add(variable().min(0.0).max(1.0));
                cells.push((row, column, choice, share));
            }
        }
    }
    let sum = |level: Level| -> Expression {
        let terms = cells.iter().map(|(row, column, choice, share)| {
            let time = case.times[*row][*column].unwrap_or_default();
            level.of(*choice, time) * *share
        });
        terms.sum()
    };
    let goal = sum(level);
    let mut model = variables.maximise(goal.clone()).using(good_lp::microlp);
    for row in 0..case.table.rows() {
        let used: Expression = cells
            .iter()
            .filter(|cell| cell.0 == row)
            .map(|cell| cell.3)
            .sum();
        model = model.with(constraint!(used <= 1));
    }
    for column in 0..case.table.columns() {
        let used: Expression = cells
            .iter()
            .filter(|cell| cell.1 == column)
            .map(|cell| cell.3)
            .sum();
        model = model.with(constraint!(used <= 1));
    }
    for (level, value) in held {
        model = model.with(constraint!(sum(*level) >= *value));
    }
    let solution = model.solve().ok()?;
    Some(solution.eval(goal).round())
}

#[derive(Debug, Clone, Copy)]
enum Level {
    Pairs,
    Cautions,
    Doubt,
    Lack,
    Others,
    Together,
}

impl Level {
    fn of(self, choice: Choice, time: u32) -> f64 {
        match self {
            Self::Pairs => 1.0,
            Self::Cautions => -f64::from(choice.safety_cautions),
            Self::Doubt => -f64::from(choice.doubt),
            Self::Lack => -f64::from(u8::from(choice.lacks)),
            Self::Others => -f64::from(choice.other_cautions),
            Self::Together => f64::from(time),
        }
    }
}

#[test]
fn a_general_solver_finds_nothing_better_for_sixty_by_eighty() {
    for number in 0..3 {
        let mut random = Random(7000 + number);
        let case = Case::new(60, 80, &mut random);
        let ours = case.value(&case.best());
        let mut held = Vec::new();
        for level in [Level::Pairs, Level::Cautions, Level::Doubt, Level::Lack] {
            let value = solve(&case, 0, &held, level).expect("giving nothing is a way, too");
            held.push((level, value));
        }
        let wanted: Vec<f64> = held.iter().map(|(_, value)| *value).collect();
        let found = [
            f64::from(ours.pairs),
            -f64::from(ours.cautions),
            -f64::from(ours.doubt),
            -f64::from(ours.lack),
        ];
        assert_eq!(wanted, found, "number {number}");
        // The worst-served: with our shortest time there is a way, with any longer one there is none.
        let shortest = ours.shortest.expect("times are known");
        let [holds, fails] = [shortest, shortest + 1].map(|least| {
            solve(&case, least, &held[..0], Level::Pairs).is_some_and(|pairs| pairs >= held[0].1)
                && solve(&case, least, &held, Level::Together).is_some()
        });
        assert!(holds && !fails, "number {number}: {shortest}");
        let others = solve(&case, shortest, &held, Level::Others);
        assert_eq!(others, Some(-f64::from(ours.others)), "number {number}");
        held.push((Level::Others, -f64::from(ours.others)));
        let together = solve(&case, shortest, &held, Level::Together);
        assert_eq!(together, Some(f64::from(ours.together)), "number {number}");
    }
}

#[test]
fn what_comes_first_by_name_has_the_first_choice_among_equals() {
    let equal = Some(Choice {
        safety_cautions: 0,
        other_cautions: 0,
        doubt: 0,
        lacks: false,
    });
    let table = Table::new(3, 5, vec![equal; 15]);
    let given = best(&table, |cells| vec![None; cells.len()]);
    assert_eq!(given, [Some(0), Some(1), Some(2)]);
    let table = Table::new(5, 3, vec![equal; 15]);
    let given = best(&table, |cells| vec![Some(7); cells.len()]);
    assert_eq!(given, [Some(0), Some(1), Some(2), None, None]);
}

/// Figures for the notes: `cargo test --release --test assign -- --ignored --nocapture seconds`.
#[test]
#[ignore = "a measurement, not a check"]
fn seconds_for_large_tables() {
    for size in [200, 500, 1000, 2000] {
        for number in 0..2 {
            let case = Case::new(size, size, &mut Random(number));
            let started = std::time::Instant::now();
            let given = case.best();
            let seconds = started.elapsed().as_secs_f64();
            println!("{size} × {size}: {seconds:.2} s, {:?}", case.value(&given));
        }
        let equal = Some(Choice {
            safety_cautions: 0,
            other_cautions: 0,
            doubt: 0,
            lacks: false,
        });
        let table = Table::new(size, size, vec![equal; size * size]);
        let started = std::time::Instant::now();
        best(&table, |cells| vec![Some(7); cells.len()]);
        println!(
            "{size} × {size}, all equal: {:.2} s",
            started.elapsed().as_secs_f64()
        );
    }
}
