# Questions asked again by what was missed.

title = { $count ->
    [one] One question from earlier
   *[other] { $count } questions from earlier
}
note = You missed these once. The numbers are new. Your first answer decides when you see them again.
home = { $count ->
    [one] One question from earlier is due today. It's at the top of the next lesson you open.
   *[other] { $count } questions from earlier are due today. They're at the top of the next lessons you open.
}
