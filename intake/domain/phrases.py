"""What the desk types, read with the lab's own words: one appliance, or the items that came; and written back."""

from intake.domain.appliance_phrases import AppliancePhrase, appliance_words, read_appliance
from intake.domain.item_phrases import ItemsPhrase, items_words, read_items

__all__ = ["AppliancePhrase", "ItemsPhrase", "appliance_words", "items_words", "read_appliance", "read_items"]
