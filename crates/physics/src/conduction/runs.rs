//! Work on slabs of cells dealt to threads in runs, each slab computed alike whichever thread has it.

/// Cells below which a thread is not worth its start.
const FEW: usize = 100_000;

/// Slabs that one thread takes.
pub(crate) const fn run_length(threads: usize, slabs: usize, cells: usize) -> usize {
    if threads < 2 || cells < FEW { slabs } else { slabs.div_ceil(threads) }
}

/// What `work` gives for each slab, nothing being changed.
pub(crate) fn over_slabs<S: Send>(
    threads: usize,
    slab: usize,
    sums: &mut [S],
    work: impl Fn(usize) -> S + Sync,
) {
    let mut nothing = vec![(); slab * sums.len()];
    over_one(threads, slab, &mut nothing, sums, |y, _| work(y));
}

/// Runs `work` on each slab of `a`; what it gives stands in `sums`, in the order of the slabs.
pub(crate) fn over_one<A: Send, S: Send>(
    threads: usize,
    slab: usize,
    a: &mut [A],
    sums: &mut [S],
    work: impl Fn(usize, &mut [A]) -> S + Sync,
) {
    // An array of nothing takes no room: the second place is not used.
    let mut nothing = vec![(); a.len()];
    over_two(threads, slab, (a, &mut nothing), sums, |y, a, _| work(y, a));
}

/// Runs `work` on each slab of two arrays together; what it gives stands in `sums`, in the order of the slabs.
pub(crate) fn over_two<A: Send, B: Send, S: Send>(
    threads: usize,
    slab: usize,
    (a, b): (&mut [A], &mut [B]),
    sums: &mut [S],
    work: impl Fn(usize, &mut [A], &mut [B]) -> S + Sync,
) {
    let cells = a.len();
    let length = run_length(threads, sums.len(), cells).max(1);
    let one_run = |first: usize, a: &mut [A], b: &mut [B], sums: &mut [S]| {
        let parts = a.chunks_mut(slab).zip(b.chunks_mut(slab)).zip(sums.iter_mut());
        for (place, ((a, b), sum)) in parts.enumerate() {
            *sum = work(first + place, a, b);
        }
    };
    if length >= sums.len() {
        one_run(0, a, b, sums);
        return;
    }
    std::thread::scope(|scope| {
        let runs = a.chunks_mut(length * slab).zip(b.chunks_mut(length * slab)).zip(sums.chunks_mut(length));
        for (place, ((a, b), sums)) in runs.enumerate() {
            let one_run = &one_run;
            scope.spawn(move || one_run(place * length, a, b, sums));
        }
    });
}
