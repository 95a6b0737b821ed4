"""Oxygen content, flows and shunts."""

from pvcalc.core.errors import refuse
from pvcalc.core.formula import choices, formula, printed

DISSOLVED_ML_DL_MMHG = 0.003  # oxygen dissolved in plasma at 37 °C; 0.0031 also circulates
LITRES_PER_DECILITRE = 10  # a content per dL is a tenth of a content per L


def _ask_same_sample(inputs):
    if inputs["po2_mmhg"] > 150 and inputs["saturation_fraction"] < 0.95:
        return "A PO₂ above 150 mmHg does not go with this saturation: are both from the same sample?"
    return ""


@formula("key_questions", seen="second", asks=(_ask_same_sample,), haemoglobin_g_dl=(3, 28), saturation_fraction=(0, 1),
         po2_mmhg=(0, 700), binding_ml_g=(1.3, 1.4))
def oxygen_content_ml_dl(*, haemoglobin_g_dl, saturation_fraction, po2_mmhg, binding_ml_g):
    r"""Oxygen carried by one decilitre of blood, bound and dissolved.

    $C = k \cdot \mathrm{Hb} \cdot S + 0.003 \cdot P$

    In words: binding constant times haemoglobin times saturation, plus 0.003 mL/dL for each mmHg of PO₂.

    On high inspired oxygen the dissolved part is large and must be counted: at a PO₂ of 600 mmHg it is
    1.8 mL/dL, and leaving it out makes the pulmonary flow too high.
    The binding constant is 1.34 in textbooks, 1.36 in many catheter laboratories, 1.37 as measured and
    1.39 in theory; choose one, write it beside the flow, and keep it for both samples.

    Args:
        haemoglobin_g_dl: haemoglobin of the patient on the day.
        saturation_fraction: measured saturation of this sample, 0 to 1.
        po2_mmhg: oxygen tension of this sample; 0 leaves dissolved oxygen out.
        binding_ml_g: oxygen bound by one gram of fully saturated haemoglobin.
    Valid: haemoglobin 3 to 28 g/dL, saturation 0 to 1, PO₂ 0 to 700 mmHg, binding 1.3 to 1.4 mL/g, house limits.
    Raises: OutOfRange outside these.
    Not for: carbon monoxide or methaemoglobin in relevant amount; use a measured content.
    Source: [@key_questions, chapter 2], transcribed.
    """
    return binding_ml_g * haemoglobin_g_dl * saturation_fraction + DISSOLVED_ML_DL_MMHG * po2_mmhg


for _haemoglobin, _saturation, _answer in ((13, 0.90, "15.7"), (13, 0.75, "13.1"), (13, 0.98, "17.1"), (13, 0.65, "11.3"),
                                           (14.5, 0.952, "18.5"), (14.5, 0.712, "13.8")):
    printed(oxygen_content_ml_dl, "cairo2023", "cases 11.5 and 11.7, dissolved part left out", answer=_answer, seen="second",
            fact="C-E3 O-N26 O-N27 O-N28 O-N29 O-N36", haemoglobin_g_dl=_haemoglobin, saturation_fraction=_saturation, po2_mmhg=0, binding_ml_g=1.34)
for _step, _answer in ((0.087, "1.7"), (0.056, "1.1"), (0.052, "1.0")):
    printed(oxygen_content_ml_dl, "freed1979", "step-up limits as content at 15 g/dL", answer=_answer,
            fact={0.087: "C-E8", 0.056: "C-E9", 0.052: "C-E10"}[_step],
            haemoglobin_g_dl=15, saturation_fraction=_step, po2_mmhg=0, binding_ml_g=1.34)
for _haemoglobin, _answer in ((15, "20.4"), (10, "13.6")):
    printed(oxygen_content_ml_dl, "oximetry_slides", "capacity", answer=_answer, fact="M-XM1",
            haemoglobin_g_dl=_haemoglobin, saturation_fraction=1, po2_mmhg=0, binding_ml_g=1.36)
for _saturation, _answer in ((0.98, "19.99"), (0.80, "16.32"), (0.60, "12.24")):
    printed(oxygen_content_ml_dl, "oximetry_slides", "content at three saturations", answer=_answer, fact="M-XM2",
            haemoglobin_g_dl=15, saturation_fraction=_saturation, po2_mmhg=0, binding_ml_g=1.36)
for _tension, _answer in ((100, "0.3"), (600, "1.8")):
    printed(oxygen_content_ml_dl, "oximetry_slides", "dissolved oxygen alone (saturation entered as 0)", answer=_answer,
            fact="M-XM4", haemoglobin_g_dl=15, saturation_fraction=0, po2_mmhg=_tension, binding_ml_g=1.36)


def _ask_small_difference(inputs):
    if inputs["arterial_content_ml_dl"] - inputs["venous_content_ml_dl"] < 2:
        return "The contents differ by less than 2 mL/dL: a small error of either sample moves the flow a great deal."
    return ""


@formula("cairo2023", seen="second", asks=(_ask_small_difference,), oxygen_uptake_ml_min=(5, 1000), arterial_content_ml_dl=(0.1, 40),
         venous_content_ml_dl=(0, 40))
def fick_flow_l_min(*, oxygen_uptake_ml_min, arterial_content_ml_dl, venous_content_ml_dl):
    r"""Flow from oxygen uptake and the content before and after the bed.

    $Q = \frac{\dot{V}}{10 \cdot (C_a - C_v)}$

    In words: uptake in mL/min, divided by ten times the difference of the contents in mL/dL.

    For the lungs take pulmonary vein and pulmonary artery; for the body, aorta and mixed venous blood taken
    before any shunt. An assumed uptake is easily 25 % wrong, and the flow with it. Draw both samples in one
    steady state, and on high inspired oxygen count the dissolved part in both contents.

    Args:
        oxygen_uptake_ml_min: measured if at all possible.
        arterial_content_ml_dl: content leaving the lungs (pulmonary vein) or reaching the body (aorta).
        venous_content_ml_dl: content reaching the lungs (pulmonary artery) or leaving the body (mixed venous).
    Valid: uptake 5 to 1000 mL/min, contents 0.1 to 40 and 0 to 40 mL/dL, house limits.
    Raises: OutOfRange outside these; NoResult when the second content is not below the first.
    Not for: systemic flow from pulmonary artery blood when there is a left-to-right shunt.
    Source: [@cairo2023, chapter 11], transcribed.
    """
    difference = arterial_content_ml_dl - venous_content_ml_dl
    if difference <= 0:
        refuse("venous_content_ml_dl", "The venous content must be below the arterial content: "
               "check that the two samples were not exchanged.")
    return oxygen_uptake_ml_min / (LITRES_PER_DECILITRE * difference)


printed(fick_flow_l_min, "cairo2023", "key concept 11.1", answer="6", seen="second", fact="C-E1 O-N24",
        oxygen_uptake_ml_min=300, arterial_content_ml_dl=18, venous_content_ml_dl=13)
printed(fick_flow_l_min, "cairo2023", "case 11.3", answer="4.4", seen="second", fact="C-E1 O-N25",
        oxygen_uptake_ml_min=350, arterial_content_ml_dl=20, venous_content_ml_dl=12)
printed(fick_flow_l_min, "oxygen_in_blood", "if only dissolved oxygen were carried", answer="100", fact="C-E7",
        oxygen_uptake_ml_min=300, arterial_content_ml_dl=0.3, venous_content_ml_dl=0)


def _ask_noise(inputs):
    below = inputs["pulmonary_vein_saturation_fraction"] - inputs["pulmonary_artery_saturation_fraction"]
    above = inputs["aortic_saturation_fraction"] - inputs["mixed_venous_saturation_fraction"]
    if below > 0 and 0.75 <= above / below <= 1.19:
        return "Adults without a shunt measured 0.75 to 1.19: this ratio cannot be told from 1."
    return ""


@formula("key_questions", seen="second", asks=(_ask_noise,), aortic_saturation_fraction=(0.2, 1), mixed_venous_saturation_fraction=(0.1, 1),
         pulmonary_vein_saturation_fraction=(0.5, 1), pulmonary_artery_saturation_fraction=(0.1, 1))
def shunt_ratio(*, aortic_saturation_fraction, mixed_venous_saturation_fraction, pulmonary_vein_saturation_fraction,
                pulmonary_artery_saturation_fraction):
    r"""Pulmonary flow divided by systemic flow, from four saturations.

    $\frac{Q_p}{Q_s} = \frac{S_{Ao} - S_{MV}}{S_{PV} - S_{PA}}$

    In words: the saturation step across the body divided by the saturation step across the lungs.

    Uptake and haemoglobin cancel, and dissolved oxygen is left out: take all four samples on air.

    Args:
        aortic_saturation_fraction: aorta.
        mixed_venous_saturation_fraction: before any shunt; see `mixed_venous_saturation_fraction`.
        pulmonary_vein_saturation_fraction: sampled, or aortic when there is no right-to-left shunt.
        pulmonary_artery_saturation_fraction: pulmonary artery, beyond any shunt.
    Valid: aorta 0.2 to 1, mixed venous and pulmonary artery 0.1 to 1, pulmonary vein 0.5 to 1, house limits.
    Raises: OutOfRange outside these; NoResult when a venous saturation is not below its arterial one.
    Not for: samples on high inspired oxygen; use two `fick_flow_l_min` with dissolved oxygen counted.
    Source: [@key_questions, chapter 2], transcribed.
    """
    body_step = aortic_saturation_fraction - mixed_venous_saturation_fraction
    lung_step = pulmonary_vein_saturation_fraction - pulmonary_artery_saturation_fraction
    if body_step <= 0:
        refuse("mixed_venous_saturation_fraction", "Mixed venous saturation must be below aortic saturation.")
    if lung_step <= 0:
        refuse("pulmonary_artery_saturation_fraction",
               "Pulmonary artery saturation must be below pulmonary vein saturation.")
    return body_step / lung_step


printed(shunt_ratio, "key_questions", "chapter 2, question 34", answer="2", seen="second", fact="C-E2 O-N20", aortic_saturation_fraction=1,
        mixed_venous_saturation_fraction=0.6, pulmonary_vein_saturation_fraction=1, pulmonary_artery_saturation_fraction=0.8)


@formula("key_questions", seen="second", svc_saturation_fraction=(0.1, 1), ivc_saturation_fraction=(0.1, 1),
         weights=choices("three_to_one", "two_to_three"))
def mixed_venous_saturation_fraction(*, svc_saturation_fraction, ivc_saturation_fraction, weights):
    r"""Mixed venous saturation estimated from the two caval veins.

    $S_{MV} = \frac{a S_{SVC} + b S_{IVC}}{a + b}$

    In words: three parts upper to one part lower caval vein (a 3, b 1), or two parts upper to three lower (a 2, b 3).

    The first weighting is the usual one at rest when blood is added in the right atrium; the second fitted
    102 adults without a shunt best. They are rivals: name the one used, and never mix them in one study.
    No worked example was found.

    Args:
        svc_saturation_fraction: upper caval vein.
        ivc_saturation_fraction: lower caval vein; where it is sampled matters, hepatic blood streams.
        weights: which of the two formulas.
    Valid: both saturations 0.1 to 1, house limits.
    Raises: OutOfRange outside these.
    Not for: patients without a shunt whose pulmonary artery was sampled; use that sample.
    Source: [@key_questions, chapter 2] for three to one, [@pirwitz1997, abstract] for two to three, transcribed.
    """
    if weights == "three_to_one":
        return (3 * svc_saturation_fraction + ivc_saturation_fraction) / 4
    return (2 * svc_saturation_fraction + 3 * ivc_saturation_fraction) / 5


@formula("thermodilution_note", injectate_ml=(1, 15), blood_temperature_c=(30, 42), injectate_temperature_c=(0, 30),
         constant=(0.7, 1.2), area_c_s=(0.1, 200))
def thermodilution_output_l_min(*, injectate_ml, blood_temperature_c, injectate_temperature_c, constant, area_c_s):
    r"""Right-sided output from a bolus of cold fluid.

    $Q = \frac{V \cdot (T_b - T_i) \cdot K}{\int \Delta T \, dt} \cdot \frac{60}{1000}$

    In words: volume times temperature difference times constant, divided by the area under the curve; 60 over
    1000 turns mL/s into L/min.

    The constant is the heat capacity of the fluid against that of blood (1.089 for saline from printed heat
    constants, 1.08 recalled for 5 % dextrose), times the catheter's loss factor. It is not the computation
    constant typed into a monitor, which already holds volume and minutes and is refused here as too small. No worked example was found.

    Args:
        injectate_ml: volume given.
        blood_temperature_c: before the bolus.
        injectate_temperature_c: at the injection port.
        constant: heat-capacity ratio times loss factor.
        area_c_s: area under the temperature curve.
    Valid: volume 1 to 15 mL, blood 30 to 42 °C, fluid 0 to 30 °C, constant 0.7 to 1.2, area 0.1 to 200 °C·s, house limits.
    Raises: OutOfRange outside these.
    Not for: a shunt inside the heart, severe tricuspid or pulmonary regurgitation, very low output; use `fick_flow_l_min`.
    Source: [@thermodilution_note, derivation], transcribed.
    """
    cooling = injectate_ml * (blood_temperature_c - injectate_temperature_c) * constant
    if cooling <= 0:
        refuse("injectate_temperature_c", "The fluid must be colder than the blood.")
    return cooling / area_c_s * 60 / 1000


@formula("rosenkranz2015", output_l_min=(0.1, 20), body_surface_m2=(0.1, 3.5))
def cardiac_index_l_min_m2(*, output_l_min, body_surface_m2):
    r"""Output divided by body surface.

    $I = \frac{Q}{A}$

    In words: flow in L/min divided by body surface in m².

    No worked example was found.

    Args:
        output_l_min: flow, systemic or pulmonary; say which.
        body_surface_m2: name the surface formula too, they differ most in newborns.
    Valid: output 0.1 to 20 L/min, surface 0.1 to 3.5 m², house limits.
    Raises: OutOfRange outside these.
    Not for: comparing studies that used different surface formulas.
    Source: [@rosenkranz2015, table], transcribed.
    """
    return output_l_min / body_surface_m2


@formula("cairo2023", seen="second", output_l_min=(0.1, 20), heart_rate_bpm=(30, 250))
def stroke_volume_ml(*, output_l_min, heart_rate_bpm):
    r"""Volume of one beat.

    $V = \frac{1000 \cdot Q}{f}$

    In words: flow in mL/min divided by the heart rate.

    Args:
        output_l_min: flow.
        heart_rate_bpm: rate during the same measurement.
    Valid: output 0.1 to 20 L/min, rate 30 to 250 /min, house limits.
    Raises: OutOfRange outside these.
    Not for: irregular rhythm from a single reading of the rate; average ten beats.
    Source: [@cairo2023, chapter 11], transcribed.
    """
    return 1000 * output_l_min / heart_rate_bpm


printed(stroke_volume_ml, "cairo2023", "case 11.2", answer="27", seen="second", fact="C-E2 O-N23", output_l_min=3.0, heart_rate_bpm=110)
printed(stroke_volume_ml, "cairo2023", "case 11.7", answer="98.5", seen="second", fact="C-E2 O-N33", output_l_min=7.98, heart_rate_bpm=81)
