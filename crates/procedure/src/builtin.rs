//! The procedures shipped with the program.

/// File name and bytes of each shipped procedure, exactly as in the folder `procedures`.
pub const fn builtin() -> &'static [(&'static str, &'static [u8])] {
    &[
        (
            "FV-3302.json",
            include_bytes!("../../../procedures/FV-3302.json"),
        ),
        (
            "BL-NRV-06.json",
            include_bytes!("../../../procedures/BL-NRV-06.json"),
        ),
        (
            "BPR-VENT-11.json",
            include_bytes!("../../../procedures/BPR-VENT-11.json"),
        ),
        (
            "LO-TCV-01.json",
            include_bytes!("../../../procedures/LO-TCV-01.json"),
        ),
        (
            "PCV-2107.json",
            include_bytes!("../../../procedures/PCV-2107.json"),
        ),
        (
            "PRS-STM-07.json",
            include_bytes!("../../../procedures/PRS-STM-07.json"),
        ),
        (
            "PRV-CO2-04.json",
            include_bytes!("../../../procedures/PRV-CO2-04.json"),
        ),
        (
            "PSV-2115.json",
            include_bytes!("../../../procedures/PSV-2115.json"),
        ),
        (
            "SA-PRV-03.json",
            include_bytes!("../../../procedures/SA-PRV-03.json"),
        ),
        (
            "TCV-KB-02.json",
            include_bytes!("../../../procedures/TCV-KB-02.json"),
        ),
    ]
}
