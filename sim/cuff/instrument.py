"""What measures: the bladder, the air behind it, the valve and the sensor."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from sim.cuff.bladder import sizes_cm
from sim.fields import Choice, Fields, Limit


@dataclass(frozen=True, eq=False)
class Instrument(Fields):
    """One instrument or n. Fields are scalars or arrays of shape (n,).

    bladder: a published name (bladders.toml) or width x length in cm, such as "12x23"
    deflation_mmhg_per_s: how fast the valve lets the pressure fall [mmHg/s]
    course: "deflating" steadily, "steps" (deflating by steps of step_mmhg), or "inflating" steadily
    step_mmhg: height of a step; the rate stays the same on average [mmHg]
    start_mmhg: upper end of the course; 0: high enough that the pulse has gone [mmHg]
    end_mmhg: its lower end; 0: low enough that the pulse has faded [mmHg]
    sampling_hz: [Hz]
    noise_mmhg: standard deviation of the sensor's white noise [mmHg]
    resolution_mmhg: step between two values that the sensor can tell apart; 0: none [mmHg]
    zero_error_mmhg: what the sensor shows with no pressure in the cuff [mmHg]
    gain_error_percent: what it adds in proportion to the pressure [%]
    polytropic_index: of the air in the cuff; 1 isothermal, 1.4 adiabatic
    cloth_compliance_ml_per_mmhg: volume by which the cuff's cloth gives [mL/mmHg]

    Raises FieldError, naming the field, the value and the allowed range.
    """

    bladder: Any = "adult"
    deflation_mmhg_per_s: Any = 3.0
    course: Any = "deflating"
    step_mmhg: Any = 10.0
    start_mmhg: Any = 0.0
    end_mmhg: Any = 0.0
    sampling_hz: Any = 100.0
    noise_mmhg: Any = 0.07
    resolution_mmhg: Any = 0.02
    zero_error_mmhg: Any = 0.0
    gain_error_percent: Any = 0.0
    polytropic_index: Any = 1.0
    cloth_compliance_ml_per_mmhg: Any = 0.0

    LIMITS: ClassVar[dict[str, Limit | Choice]] = {
        # 2 to 3 mmHg/s is the guidelines' rate: Muntner 2019, DOI 10.1161/HYP.0000000000000087.
        "deflation_mmhg_per_s": Limit(1, 20, 3, 0.5, "mmHg/s", "Deflation rate"),
        "course": Choice(
            {
                "deflating": "while the cuff empties",
                "steps": "while it empties by steps",
                "inflating": "while it fills",
            },
            "deflating",
            "The reading is taken",
        ),
        "step_mmhg": Limit(6, 20, 10, 1, "mmHg", "Step of the pressure, where it falls by steps"),
        "start_mmhg": Limit(0, 330, 0, 5, "mmHg", "Upper end of the cuff's pressure (0: until the pulse has gone)"),
        "end_mmhg": Limit(0, 200, 0, 5, "mmHg", "Lower end of the cuff's pressure (0: until the pulse has faded)"),
        "sampling_hz": Limit(50, 500, 100, 10, "Hz", "Sampling rate"),
        "noise_mmhg": Limit(0, 2, 0.07, 0.01, "mmHg", "Sensor noise (SD)"),
        "resolution_mmhg": Limit(0, 2, 0.02, 0.01, "mmHg", "Sensor resolution"),
        "zero_error_mmhg": Limit(-20, 20, 0, 1, "mmHg", "Zero error of the sensor"),
        "gain_error_percent": Limit(-15, 15, 0, 0.5, "%", "Gain error of the sensor"),
        "polytropic_index": Limit(1, 1.4, 1, 0.1, "", "Polytropic index of the air"),
        "cloth_compliance_ml_per_mmhg": Limit(0, 1, 0, 0.01, "mL/mmHg", "Give of the cloth"),
    }

    def __post_init__(self) -> None:
        self._set("bladder", np.asarray(self.bladder).astype(str))
        super().__post_init__()
        sizes_cm(self.bladder)

    @property
    def bladder_width_cm(self) -> np.ndarray:
        """Width of the bladder [cm]."""
        return sizes_cm(self.bladder)[0]

    @property
    def bladder_length_cm(self) -> np.ndarray:
        """Length of the bladder [cm]."""
        return sizes_cm(self.bladder)[1]
