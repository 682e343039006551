"""The words that orders are made of.

In: nothing. Out: word lists. A verb that is missing here is added here: one line,
no configuration.
"""

from __future__ import annotations


def _listed(words: str) -> frozenset[str]:
    return frozenset(words.split())


VERBS = _listed(
    """
    accelerate add adjust agree aim allow answer apply approach arrange ask attach avoid await back
    balance bear begin bleed block blow brace brake break breathe bring brush call cancel carry cast
    catch change check chock choose clean clear climb close coast collect come confirm connect
    contact continue control cool count counter countersteer couple cover crack creep cross cut
    decide delay describe detach dig dim direct disconnect do dodge douse downshift drag drain draw
    drive drop dry ease empty engage ensure enter evacuate exit expect extinguish face fasten feel
    fetch fight fill find finish fit fix flash flatten fold follow force free gather get give go
    grab grip guard guide halt hand hang head hear heed help hit hold hook inch inflate inform
    insert inspect isolate join jump keep kick kneel know lay lead lean leave let lie lift light
    line list listen load lock log look loosen lower make mark match measure meet mind monitor mount
    move name note notify obey observe offer open operate park pass pause phone photograph pick
    place plan plant plug point practice pray prepare press prevent prop protect pull pump push put
    raise reach read rebuild record reduce refill refit refuse release remain remember remove repair
    repeat replace report reset rest restart restrict retrieve return reverse ride rock roll rub run
    save scan scatter seal search secure see select send separate set shield shift shine shoot shout
    show shut sign signal sit slacken slide slip slow smell soak sound space speak speed splash
    split spray spread squeeze stabilize stack stand start stay steer step stick stop store stow
    straighten strap stretch strike support surrender swap sweep swing switch take talk tap tell
    test think throw tie tighten tilt touch tow trace track transfer travel treat trust try tuck
    turn twist uncouple unhitch unhook unload unlock unplug untie use verify visit wait wake walk
    warm warn wash watch wave wear wedge weigh wet wipe work wrap write yell
    """
)
"""Verbs that an order may begin with, in their base form."""

ALSO_NOUNS = _listed(
    """
    back balance block brake break brush call cast catch change check clear climb close control cool
    count counter couple cover crack cross cut delay drag drain draw drive drop dry empty face fight
    fill find finish fit fix flash fold force free grip guard guide halt hand hang head help hit
    hold hook inch jump kick lead lean level light line list load lock log look lower mark match
    mind monitor mount move name note offer open park pass pause phone pick place plan plant plug
    point practice press prop pull pump push reach record repair replace report reset rest return
    reverse ride rock roll rub run save scan seal search set shield shift show sign signal slide
    slip slow smell sound space speed split spray spread stack stand start stay step stick stop
    store strap stretch strike support swap sweep swing switch tap test throw tie tilt touch tow
    trace track transfer travel treat trust try turn twist use visit wait wake walk warm wash watch
    wave wear wedge wet work wrap
    """
)
"""Those that are things or qualities as well, so that 'and brake' may be the brake."""

ADVERBS = _listed(
    """
    again also always briefly calmly carefully finally firmly first fully gently gradually hard
    immediately just lightly loudly next now only please quickly really slowly smoothly softly
    steadily still then together
    """
)
"""Words that may stand before an order."""

STATES = _listed(
    """
    bent blocked broken burned burnt closed covered cracked crossed crowded cut damaged divided done
    finished fitted fixed flooded frozen gone hurt injured jammed limited lit loaded locked loose
    marked needed parked paved placarded posted raised required sealed set shut stopped stranded
    stuck tilted tired trapped used worn
    """
)
"""Participles that name a state that can be seen, so that 'is loaded' is no passive."""

IRREGULAR_PARTICIPLES = _listed(
    """
    blown broken brought built caught chosen cut done drawn driven found given held hidden hit hung
    kept known laid led left let lost made met paid put read seen sent set shown shut taken thrown
    told torn worn written
    """
)
"""Participles that do not end in -ed."""

AFTER_A_VERB = ADVERBS | _listed(
    """
    the a an your it them this that these those each every all both him her everyone anyone nothing
    to off on out away down up back over in into at for with from until around again straight once
    left right toward by any no well clear one two
    """
)
"""Words that follow an order and seldom a thing: 'brake gently' against 'brake lights'."""
