//! The bench: what is in hand and the picture of the thing itself, drawn from the record, never decoration.

pub mod circle;
pub mod decay;
pub mod digits;
pub mod isolation;
pub mod joint;
pub mod lists;
pub mod repeats;
pub mod test;
pub mod window;
