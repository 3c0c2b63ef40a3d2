//! Chance for the neighborhoods, the same on every machine and at every run.

/// A small generator of numbers (xorshift).
pub struct Draw(u64);

impl Draw {
    pub fn new() -> Self {
        Self(0x9e37_79b9_7f4a_7c15)
    }

    pub fn number(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// Some of the weighted things, those of more weight more often; of them no more than `most` (Efraimidis
    /// and Spirakis: the greatest of u to the power of one over the weight).
    pub fn some(
        &mut self,
        weighted: &[(usize, u32)],
        free: impl Fn(usize) -> bool,
        most: usize,
    ) -> Vec<usize> {
        let mut drawn: Vec<(f64, usize)> = Vec::new();
        for &(other, weight) in weighted {
            let luck = (self.number() >> 11) as f64 / (1_u64 << 53) as f64;
            if free(other) {
                drawn.push((luck.powf(1.0 / f64::from(weight)), other));
            }
        }
        drawn.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        drawn.into_iter().take(most).map(|(_, other)| other).collect()
    }
}
