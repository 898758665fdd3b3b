"""The usual cautions: this tool plans time and never says that work is safe."""

from __future__ import annotations

PLANS_TIME = (
    "This plans time; it does not say that any work is safe. Local codes, the operator's procedures and licensed "
    "practice decide. Pressure work, explosives, silica, H2S, lightning and simultaneous operations: "
)
SHORT = f"{PLANS_TIME}see `check`."

FULL = (
    "Pressure work stays within the rating of the weakest part, on equipment tested before use: API RP 100-1 (well "
    "integrity and fracture containment), API Spec 6A (wellhead equipment), API RP 16ST (coiled tubing).",
    "Explosives: API RP 67. One person in charge; nothing armed in electrical or dust storms.",
    "Well servicing and flowback: API RP 54; no opening of tank hatches without knowing what is in the vapour "
    "(OSHA-NIOSH hazard alert on tank gauging, 2016).",
    "Silica dust from proppant: OSHA-NIOSH hazard alert, 2012.",
    "H2S: detectors, alarms and escape as API RP 49 and RP 55 describe (from memory) wherever it may occur.",
    "Lightning: work stops on thunder and resumes 30 minutes after the last (OSHA-NOAA, Lightning Safety When Working "
    "Outdoors).",
    "Simultaneous operations need their own review, one controller, and anyone's right to stop the work (common "
    "practice).",
    "Environment, water and materials: API RP 100-2.",
    "This plans time; it does not say that any work is safe. Local codes, the operator's procedures and licensed "
    "practice decide.",
)
