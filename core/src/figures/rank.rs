//! The order of numbers as a key to sort by.

/// A whole number that is the larger, the larger the value is, in the order of [`f64::total_cmp`].
///
/// Lists are sorted by it with `sort_by_cached_key`: the sort itself is then one and the same for every list. A sort by
/// comparing is compiled anew for each kind of thing compared, 4 kB of wasm each.
///
/// ```
/// use yokeline_core::figures::rank;
///
/// let mut values = [2.5, -1.0, f64::INFINITY, -0.0, 0.0, -7.0, f64::NEG_INFINITY];
/// values.sort_by_cached_key(|value| rank(*value));
/// assert!(values.is_sorted_by(|a, b| a.total_cmp(b).is_lt()));
/// ```
pub fn rank(value: f64) -> i64 {
    let bits = value.to_bits().cast_signed();
    // The more negative a number, the larger its digits: all but the sign are turned round.
    bits ^ ((bits >> 63) & i64::MAX)
}
