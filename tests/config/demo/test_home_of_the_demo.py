"""The home page on the demo railway, account by account."""

import pytest
from django.contrib.auth import get_user_model
from django.urls import reverse

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("demo_railway")]


@pytest.mark.parametrize(
    ("who", "sees", "sees_not"),
    [
        (
            "technician",
            ["4 defects with signalling", "SKB 12: Gooseneck cracked", "QRY 5"],
            ["with permanent way", "Limits not confirmed"],
        ),
        (
            "ganger",
            ["5 defects with permanent way", "SKB 14: Kicker clearance 2.5 mm"],
            ["with signalling", "Limits not confirmed"],
        ),
        (
            "engineer",
            ["with signalling", "with permanent way", "Limits not confirmed"],
            [],
        ),
        ("viewer", ["with signalling", "with permanent way"], ["Raise each as a defect"]),
    ],
)
def test_each_account_sees_what_is_theirs(client, who, sees, sees_not):
    client.force_login(get_user_model().objects.get(username=who))
    page = client.get(reverse("home")).content.decode()
    for words in sees:
        assert words in page
    for words in sees_not:
        assert words not in page


def test_the_engineers_page_takes_few_queries(
    client, django_assert_max_num_queries, django_user_model
):
    client.force_login(django_user_model.objects.get(username="engineer"))
    for _ in range(2):
        client.get(reverse("home"))  # follows what has changed, the switches a few at a time
    with django_assert_max_num_queries(21):
        client.get(reverse("home"))
