"""What measures: the bladder, the air behind it, the valve and the sensor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.cuff.bladder import FITTING, Size, sizes_cm
from sim.fields import MEASURING_ERROR, Fields, Values, choice, declared, number
from sim.say import say


@dataclass(frozen=True, eq=False)
class Instrument(Fields):
    """One instrument or n. Fields are scalars or arrays of shape (n,).

    bladder: "fitting", the published size for the arm; or a published name (bladders.toml); or width x length in cm,
        such as "12x23"
    deflation_mmhg_per_s: how fast the valve lets the pressure fall [mmHg/s]
    deflation_mmhg_per_beat: how far it falls from beat to beat, at the length of the beat before; within the range of
        deflation_mmhg_per_s, in whose place it counts; 0: by time [mmHg]
    course: "deflating" steadily, "steps" (deflating by steps of step_mmhg), or "inflating" steadily
    step_mmhg: height of a step; the rate stays the same on average [mmHg]
    step_hold_s: how long each step is held, in place of either rate; 0: as long as the rate has it [s]
    leak_mmhg_per_min: what the cuff would lose in a minute, were it closed at 200 mmHg; in proportion to its pressure,
        and beside what the valve lets out [mmHg/min]
    filling: "preset": to a pressure chosen without regard to the person, a higher one where that is too low;
        "by-pulse": until the pulse has gone, and down until it has faded, which gives the pressures away
    start_mmhg: upper end of the course; 0: left to `filling` [mmHg]
    refill_mmhg: by so much more the cuff is filled, once or several times, where start_mmhg proves too low; 0: never
        [mmHg]
    fill_beyond_mmhg: without start_mmhg, upper end so far above the pressure at which the pulse goes; 0: left to
        `filling` [mmHg]
    end_mmhg: its lower end; 0: left to `filling` [mmHg]
    fall_beyond_mmhg: the fall is stopped so far below the pressure at which the artery opens, where diastolic pressure
        counts as certain, or at end_mmhg if that comes first; 0: left to `filling` [mmHg]
    sampling_hz: [Hz]
    noise_mmhg: standard deviation of the sensor's white noise [mmHg]
    resolution_mmhg: step between two values that the sensor can tell apart; 0: none [mmHg]
    converter_bits: bits of the converter behind the sensor; its steps count in place of resolution_mmhg; 0: none [bits]
    full_scale_mmhg: the pressure that would be the step after the converter's last; it starts at 0 and shows nothing
        beyond either [mmHg]
    drift_mmhg: by how much the sensor's zero moves over the reading, evenly, from nothing [mmHg]
    zero_error_mmhg: what the sensor shows with no pressure in the cuff [mmHg]
    gain_error_percent: what it adds in proportion to the pressure [%]
    polytropic_index: of the air in the cuff; 1 isothermal, 1.4 adiabatic
    cloth_compliance_ml_per_mmhg: volume by which the cuff's cloth gives [mL/mmHg]

    Raises FieldError, naming the field, the value and the allowed range.
    """

    bladder: Values = declared(
        Size(
            FITTING,
            "Bladder",
            kind=MEASURING_ERROR,
            said=lambda size, _: Instrument.LIMITS["bladder"].words(size) + say(", wrong for this arm"),
        )
    )
    deflation_mmhg_per_s: Values = number(
        *(1, 20, 3, 0.5, "mmHg/s", "Deflation rate"),
        kind=MEASURING_ERROR,
        said="cuff pressure changed by {value:g} mmHg/s",
        # Muntner P, et al. Hypertension 2019;73:e35-e66, DOI 10.1161/HYP.0000000000000087.
        correct=(2.0, 3.0),
    )
    # A fall that follows the heart is a way of measuring, as the courses below are.
    deflation_mmhg_per_beat: Values = number(
        *(0, 10, 0, 0.5, "mmHg/beat", "Deflation from beat to beat (0: by time)"),
        kind=MEASURING_ERROR,
        said="cuff pressure changed by {value:g} mmHg from beat to beat",
    )
    # Reading while the cuff fills or empties by steps is a way of measuring, no mistake of the person who measures; it
    # is counted as what it adds to a reading taken on a steady fall.
    course: Values = choice(
        {
            "deflating": "while the cuff empties",
            "steps": "while it empties by steps",
            "inflating": "while it fills",
        },
        "deflating",
        "The reading is taken",
        kind=MEASURING_ERROR,
        said=lambda how, _: {"steps": say("cuff emptied by steps"), "inflating": say("read while the cuff fills")}[how],
    )
    step_mmhg: Values = number(6, 20, 10, 1, "mmHg", "Step of the pressure, where it falls by steps", fine=True)
    step_hold_s: Values = number(0, 10, 0, 0.1, "s", "Time for which a step is held (0: as the rate has it)", fine=True)
    # Chosen: 30 mmHg/min is a cuff that nobody would keep, and the slowest pump still fills it.
    leak_mmhg_per_min: Values = number(
        *(0, 30, 0, 1, "mmHg/min", "Leak of the cuff at 200 mmHg"),
        kind=MEASURING_ERROR,
        said="cuff leaks {value:g} mmHg a minute at 200 mmHg",
    )
    filling: Values = choice(
        {
            "preset": "to a pressure set beforehand, higher where that is too low",
            "by-pulse": "until the pulse has gone, and down until it has faded",
        },
        "preset",
        "The cuff is filled",
        fine=True,
    )
    start_mmhg: Values = number(
        0, 330, 0, 5, "mmHg", "Upper end of the cuff's pressure (0: left to the instrument)", fine=True
    )
    refill_mmhg: Values = number(
        0, 100, 0, 5, "mmHg", "Filled so much higher where the upper end proves too low (0: never)", fine=True
    )
    fill_beyond_mmhg: Values = number(
        0, 100, 0, 5, "mmHg", "Filled so far beyond where the pulse goes (0: left to the instrument)", fine=True
    )
    end_mmhg: Values = number(
        0, 200, 0, 5, "mmHg", "Lower end of the cuff's pressure (0: left to the instrument)", fine=True
    )
    fall_beyond_mmhg: Values = number(
        0, 100, 0, 5, "mmHg", "Fall stopped so far beyond where the artery opens (0: left to the instrument)", fine=True
    )
    sampling_hz: Values = number(50, 500, 100, 10, "Hz", "Sampling rate", fine=True)
    noise_mmhg: Values = number(0, 2, 0.07, 0.01, "mmHg", "Sensor noise (SD)", fine=True)
    resolution_mmhg: Values = number(0, 2, 0.02, 0.01, "mmHg", "Sensor resolution", fine=True)
    converter_bits: Values = number(
        0, 24, 0, 1, "bits", "Bits of the sensor's converter (0: none)", whole=True, fine=True
    )
    full_scale_mmhg: Values = number(100, 400, 300, 10, "mmHg", "Full scale of the sensor's converter", fine=True)
    zero_error_mmhg: Values = number(
        *(-20, 20, 0, 1, "mmHg", "Zero error of the sensor"),
        kind=MEASURING_ERROR,
        said="sensor shows {value:+g} mmHg with no pressure in the cuff",
    )
    gain_error_percent: Values = number(
        *(-15, 15, 0, 0.5, "%", "Gain error of the sensor"),
        kind=MEASURING_ERROR,
        said=lambda percent, _: say(
            "sensor reads {percent} % high" if percent > 0 else "sensor reads {percent} % low",
            percent=f"{abs(percent):g}",
        ),
    )
    # Chosen: as wide as the error of zero.
    drift_mmhg: Values = number(
        *(-20, 20, 0, 0.5, "mmHg", "Drift of the sensor over the reading"),
        kind=MEASURING_ERROR,
        said="sensor drifts by {value:+g} mmHg over the reading",
    )
    polytropic_index: Values = number(1, 1.4, 1, 0.1, "", "Polytropic index of the air", fine=True)
    cloth_compliance_ml_per_mmhg: Values = number(0, 1, 0, 0.01, "mL/mmHg", "Stretch of the cloth", fine=True)

    @property
    def bladder_width_cm(self) -> np.ndarray:
        """Width of the bladder [cm]; one that is only "fitting" has none yet (`Setup.fitted`).

        >>> float(Instrument(bladder="12x23").bladder_width_cm)
        12.0
        """
        return sizes_cm(self.bladder)[0]

    @property
    def bladder_length_cm(self) -> np.ndarray:
        """Length of the bladder [cm]."""
        return sizes_cm(self.bladder)[1]
