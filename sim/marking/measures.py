"""Every measure by its name in a marking profile: pure functions of a run."""

from sim.marking import approach, berth, drop, lay, leave, night, recovery, room, secure, setting
from sim.marking.run import Law

MEASURES: dict[str, Law] = {
    "ph1.min_ukc_m": room.min_ukc_m,
    "ph1.min_gap_loa": room.min_gap_loa,
    "ph1.veer_room": room.veer_room,
    "ph1.bottom_class": room.bottom_class,
    "ph1.rode_ratio": room.rode_ratio,
    "ph1.plan_items": room.plan_items,
    "ph2.max_sog_near_kn": approach.max_sog_near_kn,
    "ph2.min_cpa_loa": approach.min_cpa_loa,
    "ph2.approach_error_deg": approach.approach_error_deg,
    "ph3.sog_at_touch_kn": drop.sog_at_touch_kn,
    "ph3.bow_off_lie_deg": drop.bow_off_lie_deg,
    "ph3.drop_error_m": drop.drop_error_m,
    "ph3.mark_delay_s": drop.mark_delay_s,
    "ph4.sternway_kn": lay.sternway_kn,
    "ph4.slack_ratio": lay.slack_ratio,
    "ph4.heap_m": lay.heap_m,
    "ph4.lead_aft_s": lay.lead_aft_s,
    "ph4.early_tension_ratio": lay.early_tension_ratio,
    "ph4.chain_off_deg": berth.chain_off_deg,
    "ph5.load_steps": setting.load_steps,
    "ph5.proved_load_ratio": setting.proved_load_ratio,
    "ph5.drag_m": setting.drag_m,
    "ph5.proofs": setting.proofs,
    "ph5.scope_ratio": setting.scope_ratio,
    "ph6.secured_items": secure.secured_items,
    "rec.lead_ahead": recovery.lead_ahead_share,
    "rec.windlass_load": recovery.windlass_load_ratio,
    "rec.steerage_s": recovery.steerage_s,
    "rec.hull_hits": recovery.hull_hits,
    "rec.gone": recovery.gone,
    "ph7.drag_m": night.drag_m,
    "ph7.min_gap_loa": night.min_gap_loa,
    "ph7.uplift_min": night.uplift_min,
    "ph7.contact": night.contact,
    "leave.decision": leave.decision,
    "leave.reason": leave.reason,
}


def is_known(name: str) -> bool:
    """Return whether a profile may ask for this measure."""
    return name in MEASURES
