"""The words of the exhibit. General facts only; the Trust, its bog and its address are invented."""

CORE_HEADLINE_ONE_TOO_WIDE = ("Peat, the", "slow forest")
CORE_HEADLINE = ("Peat,", "the slow", "forest")
CORE_SUB = "One millimetre down is about one year back."
CORE_BODY = (
    "A bog grows from the top. New moss lives in the light; last year’s moss lies under it in cold, sour water, "
    "where almost nothing rots. Year upon year, the dead moss is pressed into peat."
)
CORE_SCALE_TITLE = ("Years, at", "true depth")
CORE_SCALE = (
    (500, "500 years", "Printed books were still news."),
    (1000, "1,000 years", "No tower yet had a clock driven by weights."),
    (1500, "1,500 years", "Pollen in the peat still tells which trees grew near."),
    (2000, "2,000 years", "Roman roads were new, and straight."),
)
CORE_CARBON_TITLE = ("Carbon,", "kept down")
CORE_CARBON_SUB = "Peat covers about three parts in a hundred of the land, and holds more carbon than all the forests."
CORE_CARBON_BODY = (
    "Plants take carbon out of the air. In a bog they hardly rot, so it stays below, in the wet. Drain a bog and air gets "
    "in: the peat begins to rot, and what took thousands of years to gather goes back to the sky."
)
CORE_OAK_TITLE = "Bog oak"
CORE_OAK_SUB = "Black as iron, and as hard to saw."
CORE_OAK_BODY = (
    "Trees that sank in the bog thousands of years ago lie there still. Water keeps the air from them, "
    "and the tannin in the oak turns it black."
)

WALL_LINE = ("It drinks the rain,", "keeps it for summer,", "lets it go slowly.")
WALL_LINE_STEP = ("keeps it for", "summer,")  # where the faulty version breaks the middle phrase
WALL_SEASONS = (
    (
        "Spring",
        "Meltwater fills the hollows. Frogs come back to the pools, and cotton grass flowers early, weeks before its "
        "white tufts show.",
    ),
    (
        "Summer",
        "Sundew sets its drops. A fly that takes them for dew is held fast and slowly eaten: on ground this poor, that "
        "is how the plant finds its nitrogen.",
    ),
    (
        "Autumn",
        "The mosses turn amber and wine. Each one soaks up many times its own dry weight of water, and hands it on "
        "slowly through the winter.",
    ),
)

HORIZON_HEADLINE = ("Walk softly on", "ten thousand years")
HORIZON_SUB = "A footprint in wet moss can still be seen years later."
HORIZON_TITLE = "On the boardwalk"
HORIZON_BODY = (
    "Keep to the boards, for your sake and the moss’s.",
    "Keep the dog close: birds nest on the ground here.",
    "Take nothing, leave nothing, light no fire.",
    "Then stand still for a minute, and listen.",
)

DROP_RAIN_TITLE = ("Rain is all", "it gets")
DROP_RAIN_BODY = "No spring feeds a raised bog, and no stream. All that grows here lives on what falls from the sky."
WEB = "quillmere.example/rain"
DROP_SPONGE_FIGURE = "20×"
DROP_SPONGE_BODY = "Bog moss can hold up to twenty times its own dry weight of water."
DROP_FLIGHT_TITLE = ("Years below,", "weeks above")
DROP_FLIGHT_BODY = "A young hawker hunts for years under water. As a dragonfly it has one short summer in the air."
