//! Work dealt to threads in runs of slabs, each slab computed alike whichever thread has it.

use core::ops::Range;

/// Cells below which a thread is not worth its start.
const FEW: usize = 100_000;

/// Runs of slabs, one for each thread; each starts at an even slab.
pub(crate) fn runs(threads: usize, slabs: usize, cells: usize) -> Vec<Range<usize>> {
    let count = if cells < FEW { 1 } else { threads.clamp(1, slabs.div_ceil(2).max(1)) };
    let length = slabs.div_ceil(count).next_multiple_of(2).max(2);
    (0..slabs).step_by(length).map(|from| from..(from + length).min(slabs)).collect()
}

/// Does all jobs, each on a thread of its own, the first on this one.
pub(crate) fn each<J: Send>(jobs: impl IntoIterator<Item = J>, work: impl Fn(J) + Sync) {
    let mut jobs = jobs.into_iter();
    let Some(first) = jobs.next() else { return };
    let Some(second) = jobs.next() else { return work(first) };
    std::thread::scope(|scope| {
        let work = &work;
        for job in core::iter::once(second).chain(jobs) {
            scope.spawn(move || work(job));
        }
        work(first);
    });
}

/// The parts of an array that belong to runs, a slab being `size` long.
pub(crate) fn deal<'a, T>(mut array: &'a mut [T], runs: &[Range<usize>], size: usize) -> Vec<&'a mut [T]> {
    let mut out = Vec::with_capacity(runs.len());
    for run in runs {
        let (head, tail) = array.split_at_mut((run.len() * size).min(array.len()));
        out.push(head);
        array = tail;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{deal, runs};

    #[test]
    fn every_slab_has_one_run() {
        for slabs in 1..20 {
            for threads in 1..9 {
                let found = runs(threads, slabs, 1_000_000);
                assert_eq!(
                    found.iter().cloned().flatten().collect::<Vec<_>>(),
                    (0..slabs).collect::<Vec<_>>()
                );
                assert!(found.len() <= threads && found.iter().all(|run| run.start % 2 == 0));
                let mut cells = vec![0; 3 * slabs];
                assert_eq!(
                    deal(&mut cells, &found, 3).iter().map(|part| part.len()).sum::<usize>(),
                    3 * slabs
                );
            }
        }
        assert_eq!(runs(4, 10, 10).len(), 1);
    }
}
