"""How much the pulmonary valve leaks."""

from pvcalc.core.errors import refuse
from pvcalc.core.formula import formula, printed


@formula("", seen="practice", forward_ml=(1, 400), reverse_ml=(0, 300))
def regurgitant_fraction_percent(*, forward_ml, reverse_ml):
    r"""Share of the forward volume that falls back.

    $F = 100 \cdot \frac{V_r}{V_f}$

    In words: reverse volume divided by forward volume, in per cent; both of one beat, by phase contrast.

    Forward is everything that passed the valve, not what stayed beyond it. From the two ventricles, forward is
    the right stroke volume and reverse the right minus the left; that fails with a shunt or another leaking valve.

    Args:
        forward_ml: forward volume of one beat.
        reverse_ml: reverse volume of the same beat.
    Valid: forward 1 to 400 mL, reverse 0 to 300 mL, house limits.
    Raises: OutOfRange outside these; NoResult when more falls back than went forward.
    Not for: ventricular volumes with tricuspid regurgitation or a shunt; use phase contrast.
    Source: common practice.
    """
    if reverse_ml > forward_ml:
        refuse("reverse_ml", "More cannot fall back than went forward: were the two volumes exchanged?")
    return 100 * reverse_ml / forward_ml


printed(regurgitant_fraction_percent, "khouzam_slides", "mitral valve 96.2 mL, outflow 62.8 mL; fraction not printed",
        answer="34.7", seen="derived", kind="derived", fact="M-XM11", forward_ml=96.2, reverse_ml=33.4)
printed(regurgitant_fraction_percent, "khouzam_slides", "outflow 122.7 mL, mitral valve 77.0 mL; fraction not printed",
        answer="37.3", seen="derived", kind="derived", fact="M-XM11", forward_ml=122.718, reverse_ml=45.749)


@formula("li2004", regurgitation_ms=(0, 2500), diastole_ms=(50, 2500))
def pr_index(*, regurgitation_ms, diastole_ms):
    r"""Duration of the leak as a share of diastole.

    $i = \frac{t_r}{t_d}$

    In words: duration of the regurgitant signal divided by the duration of diastole. The SHORTER, the worse.

    Under 0.77 went with a regurgitant fraction above 24.5 % in the first study; in 36 later patients the index
    was no independent predictor [@renella2010, abstract]. No worked example was found.

    Args:
        regurgitation_ms: duration of the continuous-wave signal of the leak.
        diastole_ms: duration of diastole of the same beat.
    Valid: signal 0 to 2500 ms, diastole 50 to 2500 ms, house limits.
    Raises: OutOfRange outside these; NoResult when the signal outlasts diastole.
    Not for: a stiff right ventricle that ends the leak early by its own pressure; look at the flow reversal.
    Source: [@li2004, abstract], transcribed.
    """
    if regurgitation_ms > diastole_ms:
        refuse("regurgitation_ms", "The regurgitant signal cannot outlast diastole: check both durations.")
    return regurgitation_ms / diastole_ms


@formula("mercerrosa2012", diastolic_vti_cm=(0, 100), systolic_vti_cm=(1, 150))
def diastolic_systolic_ratio(*, diastolic_vti_cm, systolic_vti_cm):
    r"""Diastolic to systolic velocity integral in the pulmonary trunk.

    $r = \frac{\mathrm{VTI}_{dia}}{\mathrm{VTI}_{sys}}$

    In words: backward velocity integral divided by forward velocity integral, pulsed wave, same place and beat.

    0.49 stood for a regurgitant fraction of 20 % and 0.72 for 40 %; a later series put 0.52 and 0.79. The
    scatter is wide (correlation about 0.6), so near a cut-off look at a second sign. No worked
    example was found.

    Args:
        diastolic_vti_cm: size of the backward integral, without its sign.
        systolic_vti_cm: forward integral.
    Valid: backward 0 to 100 cm, forward 1 to 150 cm, house limits.
    Raises: OutOfRange outside these.
    Not for: sampling in a jet behind a residual stenosis, which makes the forward integral too large.
    Source: [@mercerrosa2012, abstract], transcribed.
    """
    return diastolic_vti_cm / systolic_vti_cm
