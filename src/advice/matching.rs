//! Who gets what: the best way to give things out, each once, as a pure function of a table of choices.
//! Knows neither children nor bikes; rows come first by name, and so do columns.
//! What makes a choice good is `assign`'s business.

use pathfinding::kuhn_munkres::kuhn_munkres;
use pathfinding::matrix::Matrix;

/// Most rows or columns: their square is held in memory several times.
pub const MOST: usize = 2000;

/// In place of a row or column: there is none.
const NOBODY: usize = usize::MAX;

/// What one possible pair costs; smaller is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Choice {
    /// Cautions about safety, and checks of it that could not be made.
    pub safety_cautions: u8,
    /// Every other caution, and check that could not be made.
    pub other_cautions: u8,
    /// 0 sure, 1 likely, 2 less.
    pub doubt: u8,
    /// Whether something is lacking that counts less than doubt.
    pub lacks: bool,
}

/// Every row's choices among the columns; None where the pair is out of the question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    rows: usize,
    columns: usize,
    cells: Vec<Option<Choice>>,
}

impl Table {
    /// A table from its cells, row by row; a short last row is filled up with what is out of the question.
    pub fn new(rows: usize, columns: usize, mut cells: Vec<Option<Choice>>) -> Self {
        cells.resize(rows * columns, None);
        Self {
            rows,
            columns,
            cells,
        }
    }

    /// How many rows.
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// How many columns.
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// One cell; None beyond the table.
    pub fn at(&self, row: usize, column: usize) -> Option<Choice> {
        if column >= self.columns {
            return None;
        }
        *self.cells.get(row * self.columns + column)?
    }

    /// Judges a pair anew; None puts it out of the question.
    pub fn put(&mut self, row: usize, column: usize, choice: Option<Choice>) {
        if column < self.columns
            && let Some(cell) = self.cells.get_mut(row * self.columns + column)
        {
            *cell = choice;
        }
    }
}

/// The column that each row gets, or none. In this order: as many pairs as possible; the fewest safety cautions
/// together; the least doubt together; the fewest that lack something; the longest time for the row that has the
/// shortest; the fewest other cautions together; the longest time together; and then the first row has the first column
/// that is left to it, the second the first of the rest, a column before none.
///
/// `time` gives the times of some cells, in any whole unit; None where a row's time is not known: it is then not the
/// shortest, and adds nothing. It is asked only for cells that may matter.
///
/// # Method
/// The first four levels are one weight a pair. With at most k pairs, what one lacks weighs 1, a step of doubt k + 1,
/// more than all that is lacking together, a caution more than all of both together, and a pair more than all of the
/// three; so no sum of a lower level reaches one step of a higher. The table is made square with empty cells of weight
/// 0, and Kuhn–Munkres finds the heaviest perfect matching. By complementary slackness the heaviest
/// ones are the perfect matchings on tight cells (label sums equal to the weight), and no others: everything after
/// it is asked of those cells only. The shortest time is found by halving the list of times that occur, with one
/// perfect matching a step; then Kuhn–Munkres again for the fewest other cautions and, below them in the same way, the
/// longest time together; then, row by row, the first column that still leaves a perfect matching. The numbers stay
/// below 2⁵³ for [`MOST`] rows.
///
/// # References
/// Kuhn 1955, Munkres 1957. Complementary slackness: any text on linear programming.
pub fn best(
    table: &Table,
    time: impl Fn(&[(usize, usize)]) -> Vec<Option<u32>>,
) -> Vec<Option<usize>> {
    let (rows, columns) = (table.rows, table.columns);
    let size = rows.max(columns);
    if rows == 0 || columns == 0 {
        return vec![None; rows];
    }
    let mut state = Optimum::of(&weights(table, size));

    let cells: Vec<(usize, usize)> = (0..rows)
        .flat_map(|row| (0..columns).map(move |column| (row, column)))
        .filter(|&(row, column)| state.is_tight(row, column) && table.at(row, column).is_some())
        .collect();
    let times = time(&cells);
    let timed = || {
        let known = cells.iter().zip(&times);
        known.filter_map(|(cell, time)| time.map(|time| (*cell, time)))
    };
    state.keep_longest_shortest(timed().collect());

    let longest = timed().map(|(_, time)| time).max().unwrap_or_default();
    let others = |row, column| {
        table
            .at(row, column)
            .map_or(0, |choice| i64::from(choice.other_cautions))
    };
    let most = cells
        .iter()
        .map(|&(row, column)| others(row, column))
        .max()
        .unwrap_or_default();
    // More than all times together, and this more than all cautions and times: no cell that is out of the question is
    // ever used.
    let a_caution = i64::from(longest) * to_weight(size) + 1;
    let out_of_question = -(most + 1) * a_caution * (to_weight(size) + 1);
    let mut together = Matrix::new(size, size, out_of_question);
    for row in 0..size {
        for column in 0..size {
            if state.is_tight(row, column) {
                together[(row, column)] = -others(row, column) * a_caution;
            }
        }
    }
    for ((row, column), time) in timed() {
        if state.is_tight(row, column) {
            together[(row, column)] += i64::from(time);
        }
    }
    let mut last = Optimum::of(&together);
    last.keep_what_is_tight_in(&state);
    last.first_by_name(rows, |row, column| table.at(row, column).is_some())
}

fn to_weight(count: usize) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

/// One weight a pair, as the method says; 0 for what is out of the question.
fn weights(table: &Table, size: usize) -> Matrix<i64> {
    let pairs = to_weight(table.rows.min(table.columns));
    let most = |of: fn(Choice) -> u8| {
        let all = table.cells.iter().flatten();
        i64::from(all.map(|choice| of(*choice)).max().unwrap_or_default())
    };
    let (cautions, doubt) = (
        most(|choice| choice.safety_cautions),
        most(|choice| choice.doubt),
    );
    let a_doubt = pairs + 1;
    let a_caution = pairs * (doubt * a_doubt + 1) + 1;
    let a_pair = pairs * (cautions * a_caution + doubt * a_doubt + 1) + 1;
    let mut weights = Matrix::new(size, size, 0);
    for row in 0..table.rows {
        for column in 0..table.columns {
            if let Some(choice) = table.at(row, column) {
                weights[(row, column)] = a_pair
                    - i64::from(choice.safety_cautions) * a_caution
                    - i64::from(choice.doubt) * a_doubt
                    - i64::from(choice.lacks);
            }
        }
    }
    weights
}

/// The heaviest perfect matchings of a square: one of them, and the cells that all of them are made of.
struct Optimum {
    size: usize,
    column_of: Vec<usize>,
    row_of: Vec<usize>,
    /// Column by column, because the searches go from columns to rows.
    tight: Vec<bool>,
}

impl Optimum {
    fn of(weights: &Matrix<i64>) -> Self {
        let size = weights.rows;
        let (_, column_of) = kuhn_munkres(weights);
        let mut row_of = vec![0; size];
        for (row, column) in column_of.iter().enumerate() {
            row_of[*column] = row;
        }
        // Labels of the columns: the longest ways in the graph of exchanges, which has no cycle that gains, because
        // the matching is the heaviest.
        let mut label = vec![0_i64; size];
        let mut is_settled = false;
        while !is_settled {
            is_settled = true;
            for (row, own) in column_of.iter().enumerate() {
                let base = label[*own] - weights[(row, *own)];
                for (column, label) in label.iter_mut().enumerate() {
                    let wanted = base + weights[(row, column)];
                    if wanted > *label {
                        *label = wanted;
                        is_settled = false;
                    }
                }
            }
        }
        let mut tight = vec![false; size * size];
        for (row, own) in column_of.iter().enumerate() {
            let base = label[*own] - weights[(row, *own)];
            for column in 0..size {
                tight[column * size + row] = label[column] == base + weights[(row, column)];
            }
        }
        Self {
            size,
            column_of,
            row_of,
            tight,
        }
    }

    fn is_tight(&self, row: usize, column: usize) -> bool {
        self.tight[column * self.size + row]
    }

    fn keep_what_is_tight_in(&mut self, other: &Self) {
        for (cell, also) in self.tight.iter_mut().zip(&other.tight) {
            *cell &= also;
        }
    }

    /// Leaves out the cells with less than the longest shortest time that a perfect matching can have.
    fn keep_longest_shortest(&mut self, mut timed: Vec<((usize, usize), u32)>) {
        let mut times: Vec<u32> = timed.iter().map(|(_, time)| *time).collect();
        times.sort_unstable();
        times.dedup();
        timed.sort_by_key(|(_, time)| *time);
        // Beyond the last time nobody is left whose time is known.
        let least = |place: usize| times.get(place).copied().unwrap_or(u32::MAX);
        // What holds at the first time, below which nothing is left out.
        let (mut holds, mut fails) = (0, times.len() + 1);
        while holds + 1 < fails {
            let middle = usize::midpoint(holds, fails);
            let mut without = self.without(&timed, least(middle));
            if without.repair() {
                (self.column_of, self.row_of) = (without.column_of, without.row_of);
                holds = middle;
            } else {
                fails = middle;
            }
        }
        self.tight = self.without(&timed, least(holds)).tight;
    }

    /// The same without the cells of less time, which come first in the list.
    fn without(&self, timed: &[((usize, usize), u32)], least: u32) -> Self {
        let mut tight = self.tight.clone();
        for ((row, column), _) in timed.iter().take_while(|(_, time)| *time < least) {
            tight[column * self.size + row] = false;
        }
        Self {
            size: self.size,
            column_of: self.column_of.clone(),
            row_of: self.row_of.clone(),
            tight,
        }
    }

    /// Makes the matching perfect again after cells were left out; false where there is none.
    fn repair(&mut self) -> bool {
        let mut left = 0;
        for row in 0..self.size {
            let column = self.column_of[row];
            if !self.is_tight(row, column) {
                (self.column_of[row], self.row_of[column]) = (NOBODY, NOBODY);
                left += 1;
            }
        }
        (0..left).all(|_| self.add_one())
    }

    /// One pair more: from the free columns backwards to a row that has none.
    fn add_one(&mut self) -> bool {
        let free = (0..self.size).filter(|column| self.row_of[*column] == NOBODY);
        let (takes, goal) = self.takes(free.collect(), (0..self.size).collect());
        let Some(mut row) = goal else { return false };
        loop {
            let column = takes[row];
            let before = self.row_of[column];
            (self.column_of[row], self.row_of[column]) = (column, row);
            if before == NOBODY {
                return true;
            }
            row = before;
        }
    }

    /// Backwards from columns that are to be used: what each of the rows would take so that in the end one of them
    /// is; and the first row found that has nothing to give away, where the search ends.
    fn takes(&self, mut queue: Vec<usize>, mut rows: Vec<usize>) -> (Vec<usize>, Option<usize>) {
        let mut takes = vec![NOBODY; self.size];
        let (mut next, mut goal) = (0, None);
        while let Some(&column) = queue.get(next) {
            next += 1;
            rows.retain(|&row| {
                if !self.is_tight(row, column) {
                    return true;
                }
                takes[row] = column;
                match self.column_of[row] {
                    NOBODY => goal = Some(row),
                    own => queue.push(own),
                }
                false
            });
            if goal.is_some() {
                break;
            }
        }
        (takes, goal)
    }

    /// Row by row the first column, a real one before none, that still leaves a perfect matching.
    fn first_by_name(
        mut self,
        rows: usize,
        is_real: impl Fn(usize, usize) -> bool,
    ) -> Vec<Option<usize>> {
        let mut is_fixed = vec![false; self.size];
        for row in 0..rows {
            let mut wishes: Vec<usize> = (0..self.size)
                .filter(|column| self.is_tight(row, *column))
                .collect();
            wishes.sort_by_key(|column| !is_real(row, *column));
            if wishes.first() != Some(&self.column_of[row]) {
                self.exchange(row, &wishes, &is_fixed);
            }
            if is_real(row, self.column_of[row]) {
                is_fixed[row] = true;
            } else {
                // Which of the empty cells it has is left open: somebody may need the column.
                for column in (0..self.size).filter(|column| is_real(row, *column)) {
                    self.tight[column * self.size + row] = false;
                }
            }
        }
        (0..rows)
            .map(|row| Some(self.column_of[row]).filter(|column| is_real(row, *column)))
            .collect()
    }

    /// Gives a row the first of its wishes that others, who are not fixed, can make up for among themselves.
    fn exchange(&mut self, row: usize, wishes: &[usize], is_fixed: &[bool]) {
        let own = self.column_of[row];
        let others = (0..self.size).filter(|other| *other != row && !is_fixed[*other]);
        let (takes, _) = self.takes(vec![own], others.collect());
        let can_be_had = |wish: &&usize| **wish == own || takes[self.row_of[**wish]] != NOBODY;
        let Some(&wish) = wishes.iter().find(can_be_had) else {
            return;
        };
        let (mut taker, mut column) = (row, wish);
        while column != own {
            let before = self.row_of[column];
            (self.column_of[taker], self.row_of[column]) = (column, taker);
            (taker, column) = (before, takes[before]);
        }
        (self.column_of[taker], self.row_of[own]) = (own, taker);
    }
}
