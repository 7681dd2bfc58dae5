app_name = "assets"

urlpatterns = []
