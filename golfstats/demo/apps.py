from django.apps import AppConfig


class DemoConfig(AppConfig):
    name = "golfstats.demo"
    label = "demo"

    def ready(self) -> None:
        from golfstats.demo.sign_ins import sign_ins  # noqa: PLC0415 - models are loaded only now
        from golfstats.doors.pages.sign_ins import offer  # noqa: PLC0415 - as above

        offer(sign_ins)
