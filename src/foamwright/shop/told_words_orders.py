"""The English of every problem with orders, money, supplies, courses and people's data."""

from __future__ import annotations

from types import MappingProxyType

ORDERS_ENGLISH = MappingProxyType(
    {
        "unknown-order": ("There is no order number {id}.", "Look the order up in the list."),
        "unknown-bill": ("There is no quote or invoice number {id}.", "Look it up at its order."),
        "unknown-course": ("There is no course number {id}.", "Look the course up in the list."),
        "unknown-pupil": ("There is no pupil number {id}.", "Look the pupil up in the course."),
        "no-currency": ("“{written}” is no currency.", "Write its code of three letters, like EUR."),
        "no-amount": (
            "“{written}” is no amount of {currency}.",
            "Write it like {example}, with no more decimals than there are coins for.",
        ),
        "no-rate": ("“{written}” is no rate.", "Write it in per cent, like 19 % or 8.5."),
        "rate-beyond": (
            "A tax of {written} is more than the whole price.",
            "Look at the decimal point: a rate is from 0 to 100 %.",
        ),
        "below-nothing": ("“{written}” is less than nothing.", "Write 0 or more."),
        "no-day": ("“{written}” is no day.", "Write it like 2026-03-21."),
        "day-past": (
            "{day} has gone by; today is {today}.",
            "Choose a day from today on, or leave it empty.",
        ),
        "no-rows": ("[{name}] is not a list of rows.", "Write [[{name}]] before every row."),
        "price-key": ("“{written}” is no key that may stand here.", "These may: {known}."),
        "price-hole": (
            "A {kind} from {ends} to {begins} has no price.",
            "Let the row before end at {begins}, or this one begin at {ends}.",
        ),
        "price-twice": (
            "A {kind} from {begins} to {ends} has two prices.",
            "Let this row begin at {ends}, or the row before end at {begins}.",
        ),
        "price-backwards": ("This row of {kind} ends before it begins.", "Write the shorter length at from."),
        "price-missing": (
            "The price list has no price for a {kind} of {length}.",
            "Add a row for that length to the price list, or write the price as a line.",
        ),
        "no-prices": (
            "There is no price list in {currency}.",
            "Save one on the page of prices, or choose a currency that has one.",
        ),
        "stale-prices": (
            "The prices in {currency} were changed meanwhile by {who}: they are at revision {current}, "
            "yours began at {sent}.",
            "Look at the difference, put together what both of you want, and save again.",
        ),
        "length-for-price": (
            "How much a {kind} costs hangs on its length, and none is known.",
            "Name a board that has a sheet, or write the length, like 6'4\".",
        ),
        "deposit-beyond": (
            "A deposit of {written} is more than the price, which is {total}.",
            "Ask for the price or less, or look at the lines first.",
        ),
        "order-put-away": ("The order “{title}” is put away.", "Set its state back first."),
        "blank-agreed": (
            "This order has been promised its blank already.",
            "Set its state back to quoted, choose the blank, and agree again.",
        ),
        "blank-promised": (
            "Every blank {code} on the rack is promised: to order {orders}.",
            "Choose another blank, order more of it, or set that order back to quoted.",
        ),
        "nobody-to-order": (
            "“{title}” has nobody who ordered it: they were deleted.",
            "Take a new order for somebody.",
        ),
        "no-customer": ("Nobody is named.", "Write the name of who orders."),
        "no-board-named": (
            "There is no board called “{written}”.",
            "Write the name or the number of a board in the list, or leave it empty.",
        ),
        "no-blank-named": (
            "There is no blank called “{written}”.",
            "Write a name that is in the stock.",
        ),
        "bill-empty": ("Nothing is charged for “{title}” yet.", "Write at least one line with a price."),
        "brief-first": (
            "{name} has not signed the safety brief.",
            "Read it together and sign it at the bench first; then the first step begins.",
        ),
        "brief-name": (
            "“{written}” is not the pupil's name, {name}.",
            "The pupil signs with their own name.",
        ),
        "pupil-twice": ("Job {job} belongs to another pupil already.", "Give this pupil a job of their own."),
        "gate-open": (
            "{name} is not cleared for the power planer: {missing}.",
            "Show and sign these first; the teacher stands within arm's reach at the first board.",
        ),
        "person-has-open": (
            "{name} still waits for {count} of ours: {orders}.",
            "Hand those orders over or put them away first; then delete. Nothing was deleted.",
        ),
        "person-in-course": (
            "{name} is in a course that is not over: {courses}.",
            "Put that course into the archive first; then delete. Nothing was deleted.",
        ),
        "person-confirm": (
            "“{written}” is not the name of the person to be deleted, {name}.",
            "Write the name as it stands here. Nothing was deleted.",
        ),
        "money-only": (
            "Money is only shown to the owner.",
            "Ask at the host; the owner can give it to teachers.",
        ),
        "contacts-only": (
            "How to reach people is only shown to the owner.",
            "Ask at the host; the owner can give it to teachers.",
        ),
        "no-study": (
            "This is not the answer of a stocking study ({why}).",
            "Choose the stocking.json that “foamwright stocking” has written.",
        ),
    }
)
