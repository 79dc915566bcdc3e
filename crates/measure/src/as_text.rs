//! The one way a value stands in JSON here: as the text it prints, read back by the reader of typed text.

/// Writes a type as what its `Display` prints and reads it by its `FromStr`, whose error says what is wrong.
macro_rules! as_text {
    ($kind:ty) => {
        impl serde::Serialize for $kind {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> serde::Deserialize<'de> for $kind {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = <String as serde::Deserialize>::deserialize(deserializer)?;
                text.parse().map_err(serde::de::Error::custom)
            }
        }
    };
}
