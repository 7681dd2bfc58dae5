app_name = "defects"

urlpatterns = []
