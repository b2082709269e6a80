namespace BackTracker.Service.Pages;

/// <summary>What the page shows that asks once more before something ends.</summary>
/// <param name="Title">What is about to be done.</param>
/// <param name="What">To which thing.</param>
/// <param name="Says">What comes of it.</param>
/// <param name="Button">The word that does it.</param>
/// <param name="Address">Where the form is sent.</param>
/// <param name="Back">Where to go instead.</param>
/// <param name="Form">The form.</param>
public sealed record ConfirmModel(string Title, string What, string Says, string Button, string Address, string Back, FormState Form);

/// <summary>What the page shows that shows a secret once.</summary>
/// <param name="Title">What was made.</param>
/// <param name="Secret">The secret; null where the form was sent again, for it is not kept.</param>
/// <param name="Says">What to do with it.</param>
/// <param name="Back">Where to go on.</param>
public sealed record SecretModel(string Title, string? Secret, string Says, string Back);
